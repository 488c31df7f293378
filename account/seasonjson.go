package account

import (
	"time"

	"emberbank/season"
)

// SeasonDocument is season.json.
func SeasonDocument(s *Season) any {
	m := s.Model
	doc := object{
		{"name", s.Name}, {"version", s.Version}, {"answers", s.Outcome != nil}, {"sentence", SeasonSentence(s)}, {"days", s.Days},
	}
	if !s.Starts.IsZero() {
		doc = append(doc, member{"starts", s.Starts.Format(time.RFC3339)})
	}
	if s.Refused != "" {
		doc = append(doc, member{"refused", s.Refused})
	}
	if s.Outcome != nil {
		doc = append(doc, member{"season", seasonWhole(s)})
		if s.Yield != nil {
			doc = append(doc, member{"yield", yields(s.Yield)})
		}
	}
	return append(doc, object{
		{"model", object{
			{"nodes", m.Nodes},
			{"full_runs", m.Runs},
			{"full_runs_apart", len(m.Checks)},
			{"built_from", m.Built},
			{"allowed", object{{"heat", num(m.Allowed.Heat)}, {"block_mean_K", num(m.Allowed.Mean)}}},
			{"block_mean_known_degC", []any{num(celsiusOf(m.Reach.Mean[0])), num(celsiusOf(m.Reach.Mean[1]))}},
			{"factors", listOf(m.Factors, func(f season.Factor) any { return object{{"of", f.Of}, {"factor", num(f.Value)}} })},
		}},
		{"apart", listOf(m.Checks, func(c season.Check) any {
			return object{
				{"day", c.Day},
				{"heat_J", num(c.Heat)},
				{"heat_off", num(c.Off)},
				{"most_off", c.Worst},
				{"block_mean_over_an_hour_off_K", num(c.Mean)},
				{"block_mean_off_rms_K", num(c.Spread)},
				{"block_mean_off_any_row_K", num(c.Peak)},
				{"held", c.Told()},
				{"passes", c.Passes(m.Allowed)},
				{"wanted_" + seasonSI(s), num(c.Full.Wanted)},
				{"met_fast_" + seasonSI(s), num(c.Fast.Met)},
				{"met_full_" + seasonSI(s), num(c.Full.Met)},
			}
		})},
		{"outside", seasonOutside(s)},
		{"cautions", listOf(m.Cautions, caution)},
		{"dangers", listOf(Dangers(m.Cautions), func(d Danger) any {
			out := object{{"kind", d.Kind}, {"text", d.Text}}
			if d.Likewise != "" {
				out = append(out, member{"likewise", d.Likewise})
			}
			return out
		})},
		{"notes", listOf(s.doubts(), func(n string) any { return n })},
		{"inputs", listOf(s.Inputs, func(i Input) any { return object{{"name", i.Name}, {"sha256", i.SHA256}} })},
	}...)
}

// seasonWhole is the season's books.
func seasonWhole(s *Season) object {
	b := &s.Outcome.Whole
	paths := object{}
	for i, path := range s.Paths {
		paths = append(paths, member{path, num(b.ByPath[i])})
	}
	whole := object{
		{"absorbed_J", num(b.Absorbed)},
		{"glass_J", num(b.Glass)},
		{"electric_J", num(b.Electric)},
		{"generated_J", num(b.Generated)},
		{"delivered_J", num(b.Delivered)},
		{"steam_kg", num(b.Steam)},
		{"lost_J", num(b.Lost)},
		{"lost_by_path_J", paths},
		{"stored_J", num(b.Stored)},
		{"residual_J", num(b.Residual)},
	}
	if s.Load {
		u := "_" + seasonSI(s)
		whole = append(whole, member{"wanted" + u, num(b.Wanted)}, member{"met" + u, num(b.Met)}, member{"met_share", num(b.Met / b.Wanted)},
			member{"met_share_within", num(s.Model.MetWithin())}, member{"short_s", num(b.Short)})
	}
	return whole
}

// seasonOutside is on which days of a season which trait lies outside the days that were computed in full.
func seasonOutside(s *Season) any {
	if s.Outcome == nil {
		return nil
	}
	return object{
		{"days", numbered(s.Outcome.Outside())},
		{"by_trait", listOf(s.Outcome.Beyond, func(b season.Beyond) any { return object{{"trait", b.Trait}, {"days", numbered(b.Days)}} })},
	}
}

// numbered are days as they are counted for a reader, from 1.
func numbered(days []int) []int {
	out := make([]int, len(days))
	for i, d := range days {
		out[i] = d + 1
	}
	return out
}
