package verify

// cases returns every case in the order of the rows; a topic's cases stand together.
func cases() []known {
	var out []known
	for _, topic := range [][]known{
		walls(),
		blocks(),
		bridges(),
		tubes(),
		melting(),
		tubeFlows(),
		airs(),
		boilings(),
		boilingExamples(),
		boilingAlone(),
		waters(),
		radiations(),
		suns(),
		glasses(),
		passes(),
		practice(),
		benchmark(),
		ledgers(),
		matters(),
		yields(),
		seasons(),
		dishes(),
		hazards(),
	} {
		out = append(out, topic...)
	}
	return out
}
