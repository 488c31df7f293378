package cli

import "strings"

// helpTexts holds what --help prints, by command; "" is the program itself. Each fits a screen of 24 lines by
// 80 columns and shows an example that works: a test holds them to that, and to naming every flag.
var helpTexts = map[string]string{
	"": `Emberbank computes a solar receiver that stores heat in its own absorber block.
  emberbank new DIR                  write a bench with a worked example
  emberbank check FILE...            say what is wrong in files, with the fix
  emberbank run FILE|DIR [-o DIR]    compute a run and write its results
  emberbank open [DIR]               show a bench in the browser
  emberbank trial FILE               read a trial's loggers and write its record
  emberbank compare FILE|DIR...      runs and trials side by side, what differs
  emberbank match FILE               parameters from trials, how far to trust
  emberbank plan FILE                what a trial will teach, before it is done
  emberbank study FILE               a run over choices, and what follows
  emberbank light FILE               what a dish throws on a window, by rays
  emberbank dossier [DIR]            the report on a bench and its results
  emberbank picture [DIR] [NAME]     one picture alone, for a talk or a poster
  emberbank crate [DIR]              a bench and its results for an archive
  emberbank tidy [DIR] [--free]      what on the disk can be computed again
  emberbank work --join ADDRESS      run variants of studies on other machines
  emberbank verify                   compare with outside references
  emberbank schema KIND              JSON Schema of a kind of file, for editors
  emberbank materials [NAME]         catalogue; emberbank version: the program's
Every command has --help. Most have --json: one document, errors included.
Example, from nothing to a result:
  emberbank new bakery
  emberbank run bakery
Exit: 0 done, 1 wrong input, 2 no such command, 3 disk, 4 stopped, 5 unverified.
`,
	"new": `emberbank new DIR

Write a bench into the folder DIR, which is made or must be empty: a receiver,
what is done to it, runs, trials with their loggers' files, a plan and a match,
commented so that they teach. The numbers are invented, the trials made up.
Change them to yours.

Example:
  emberbank new bakery
  emberbank check bakery
  emberbank run bakery

Exit: 0 done, 2 DIR is missing, 3 DIR is not empty or cannot be written.
`,
	"check": `emberbank check FILE... [--upgrade] [--json]

Read files of any kind with all that they refer to, and say what is wrong, all
mistakes at once: place, value as typed, what is allowed, the fix.
A folder stands for its bench.yaml and all that it names.

  --upgrade   bring a file of an older schema up to this one; comments stay, and
              the old file is kept beside it, its name ending in .old
  --json      print the findings as JSON

Example:
  emberbank check bakery/receiver.yaml bakery/duty.yaml

Exit: 0 in order (warnings may be there), 1 mistakes or no such file, 2 no such
flag, 3 could not read or write.
`,
	"open": `emberbank open [DIR] [flags]

Show the bench in DIR, or in this folder, in the browser: what is drawn, what a
run does, its curves, sections, ledger and cautions. A run is computed when it
is looked at, coarse first. An edit in the page is an edit in the file. The link
that is printed holds a key and lets in who has it. Ctrl-C ends it.

  --no-browser             print the link only
  --port N                 listen at this port; without it, at one that is free
  --threads N              use so many cores
  --listen HOST            listen there; beyond this machine only with these:
  --key FILE               a key of your own, of 20 characters or more
  --certificate FILE       encrypt with this certificate, a PEM file,
  --private-key FILE       and its private key

Example:
  emberbank open bakery

Exit: 0 ended by Ctrl-C, 1 no such bench, 2 a flag is wrong, 3 the address is in
use or DIR cannot be read.
`,
	"run": `emberbank run FILE|DIR [-o DIR] [flags]

Compute a run or a season; a folder stands for the run that bench.yaml names.
Results go to results/FILE beside it and replace former ones when whole.

  -o, --output DIR   put the results into DIR instead
  --circuits         what each number of a load's open circuits can give
  --accuracy         repeat on two finer grids: order, limit, convergence index
                     of each quantity under "accuracy:" in the file (slow: 10 x)
  --uncertainty      carry inputs written as "380 +/- 24 ...", and the spreads
                     of materials and of films in tubes, to bands: two runs each
  --threads N        use N threads (default: all); results do not depend on it
  --match DIR        with the parameters that a match found (its results); says
                     where the run leaves the envelope in which they were tried
  --variant N        FILE is a study: compute its variant N again, as the study
                     kept it, with fields and pictures, to results/STUDY/opened
  --json, --quiet    print the summary as JSON; print nothing but errors
EMBERBANK_KERNEL=go, avx2 or avx512 in the environment forces which loops run.

Example:
  emberbank run bakery/charge-hold-drain.yaml -o first

Exit: 0 done, 1 a mistake in the input or no such file, 2 no such flag, 3 could
not read or write, 4 stopped, as by Ctrl-C: what is done so far is written.
`,
	"trial": `emberbank trial FILE [-o DIR] [flags]
emberbank trial --draft LOGFILE... [-o FILE]

Read a trial's description and its loggers' files, and write to results/FILE
what was measured, on one time axis, its heat balance with budgets, the map of
heat flow to the water over block temperature: tables, JSON and pictures. What
was mended is listed with its count. A logger's file is never written to.

  --run DIR          lay a run's map over it, from the run's results folder
  --draft            guess from loggers' files what their columns are, and print
                     a first description to correct; it says how sure it is
  --follow           watch the files as they grow: readings, predictions, time
                     left, call-outs; Ctrl-C ends it with the report as above.
                     It protects nobody: keep the rig's own limits and stops
  --every TIME, --for TIME   between reports (10s), and end it after that (8h)
  -o, --output DIR   put the record into DIR, or the first description into FILE
  --json             print JSON; with --follow one document a line
  --quiet            print nothing but errors

Example:
  emberbank trial bakery/trials/lamp-slow.yaml -o first
Exit: 0 done, 1 a mistake in the input or no such file, 2 no such flag, 3 disk.
`,
	"compare": `emberbank compare FILE|DIR... [-o DIR] [flags]

Set two runs side by side (files, or folders of results): inputs that differ, by
path; results that differ, judged by the accuracy that the runs state; the
largest difference over time, and when. Or a run and a trial: each channel
beside what was computed for it, and the maps. Or say of two trials or more
within what their cooling curves and their heat flows to the water agree, with
95 % confidence. A folder without results stands for the trials in it. Writes
report, tables and pictures to results/FILE-and-FILE beside the first.

  -o, --output DIR   put the results into DIR instead
  --variants N,M     of a study: its variants N and M
  --begins TIME      where in the trial the run begins ("10 min")
  --shared           the trials share their sensors, so that what is wrong with
                     these falls out of the difference
  --json, --quiet    print the results as JSON; print nothing but errors

Example:
  emberbank compare bakery/trials --shared

Exit: 0 done, 1 a mistake in the input or nothing to compare, 2 no such flag,
3 disk.
`,
	"match": `emberbank match FILE [-o DIR] [flags]

Estimate parameters of receiver and duty from trials, with their uncertainty,
and try the matched model on trials that were set aside. Writes a report,
parameters, covariance, residuals and pictures to results/FILE beside the file.

  -o, --output DIR   put the results into DIR instead
  --accuracy         also compute all trials on two finer grids, for the
                     numerical part of the validation uncertainty and of the
                     parameters' (slow; without it those fitted, on one)
  --profiles         follow the likelihood of every parameter, not only of those
                     for which a straight line does not do
  --afresh           do not go on from an earlier start that was stopped
  --threads N        N runs at a time (default: all cores); results are the same
  --json             print the results as JSON
  --quiet            print nothing but errors

Example:
  emberbank match bakery/match.yaml

Ctrl-C stops it and keeps what is done; the same command again goes on there.
Exit: 0 done, 1 a mistake in the input, 2 no such flag, 3 disk, 4 stopped.
`,
	"plan": `emberbank plan FILE [-o DIR] [flags]

Say what a trial will teach before it is done: how well each parameter will be
known with the sensors as placed, which one more sensor, longer stretch, other
flow or state of the cover would help most, which logging interval suffices, and
how long the charge takes. Writes a report, tables and a picture to results/FILE
beside the file. Take a coarse grid: some hundred runs are made.

  -o, --output DIR   put the results into DIR instead
  --threads N        N runs at a time (default: all cores); results are the same
  --json             print the results as JSON
  --quiet            print nothing but errors

Example:
  emberbank plan bakery/plan.yaml

Exit: 0 done, 1 a mistake in the input, 2 no such flag, 3 disk, 4 stopped.
`,
	"study": `emberbank study FILE [-o DIR] [flags]

Compute a run over choices, and say what follows: responses in a table and in
pictures, constraints, answers. Writes to results/FILE beside the file: outcome/
and, from each run, variants/. Nothing is computed twice. The first variant
tells how long all take; more than an hour is asked about.

  -o, --output DIR   put the study into DIR instead
  --workers N        at a time (default: all cores; none with the next two)
  --open HOST:PORT   let workers of other machines join (emberbank work)
  --join ADDRESS     offer the variants at a queue that stands elsewhere
  --secret FILE, --certificate FILE, --trust FILE   for these: see docs/farm.md
  --match DIR        on top of the parameters of the match in results folder DIR
  --yes              do not ask before a long study
  --sections 1,4,12  draw sections through these variants, once it was run
  --moment TIME      at TIME (default: when the run keeps fields, or its end)
  --json             print the results as JSON
  --quiet            print nothing but errors

Example:
  emberbank study bakery/insulation.yaml

Ctrl-C stops it and keeps what is done; the same command again goes on there.
Exit: 0 done, 1 a mistake in the input, 2 no such flag, 3 disk, 4 stopped.
`,
	"light": `emberbank light FILE [-o DIR] [flags]

Cast rays from the sun by a dish as it was built, and say what its light does in
the plane of the window: which share the window catches, power, mean and peak
flux, where the rest goes, and what windows of other sizes would catch, with the
errors of casting and of what is written with ±. Writes a flux map that a duty
can name, pictures and a report to results/FILE beside the file. Rays are added
until the error that the file wants is met.

  -o, --output DIR   put the results into DIR instead
  --rays N           cast N rays or somewhat more, whatever their error
  --threads N        use so many cores (default: all); results are the same
  --json             print the results as JSON
  --quiet            print nothing but errors

Example:
  emberbank light bakery/light.yaml

Exit: 0 done, 1 a mistake in the input, 2 no such flag, 3 disk, 4 stopped.
`,
	"crate": `emberbank crate [DIR] [-o DIR] [flags]

Copy the bench in DIR (default: here) with its results into a folder beside it,
DIR-crate, that an archive or anybody else can take: an RO-Crate, whose
ro-crate-metadata.json lists each file with its hash and each result with the
command, the version and the inputs that made it, and CITATION.cff. The crate is
a bench itself. Name, question, licence, date and authors come from bench.yaml.

  -o, --output DIR   put the crate into DIR instead
  --again            DIR is a crate: compute its results and dossier anew from
                     its files alone, elsewhere, and compare every byte
  --json, --quiet    print what was done as JSON; print nothing but errors

Example:
  emberbank new bakery
  emberbank crate bakery

Exit: 0 done, 1 a mistake in the input, 2 no such flag, 3 could not read or
write, 4 stopped, 5 a result did not come out the same.
`,
	"dossier": `emberbank dossier [DIR] [-o DIR] [flags]

Compose, from the results of the bench in DIR (default: here), the documents in
which it is handed over, into results/dossier. Each number leads to the place
that it was read from. Its parts and your own words come from dossier.yaml where
there is one. Only the outside checks are computed, once for each version; what
is missing or older than its inputs is told, with the command that renews it.

  -o, --output DIR   put the documents into DIR instead
  --only NAME        only this one: report, safety (for a safety officer),
                     trial-sheet (for the rig) or slides; may be given again
  --against DIR      in what it differs from the dossier in DIR, or of the bench
  --renew            first compute what is missing or old, in its turn
  --font FILE        a TrueType face for letters that the PDF's own faces lack;
                     may be given again
  --json             print what was written, what is stale and missing as JSON
  --quiet            print nothing but errors

Example:
  emberbank new bakery
  emberbank dossier bakery

Exit: 0 done (also where results are missing), 1 a mistake in what a dossier
itself needs, 2 no such flag, 3 could not read or write, 4 stopped.
`,
	"picture": `emberbank picture [DIR] [NAME] [-o FILE] [flags]

Put one picture of the bench in DIR (default: here) onto paper of its own, for a
talk or a poster, its type at the size that you ask for. Without NAME it lists
what pictures there are: of the receiver, of results, and the report's figures
by number. Those of the receiver and of runs are laid out anew for the width,
all others are as their results keep them. Words that would run into one another
are an error that says what width has room for them.

  -o, --output FILE   its ending says what it becomes: .svg, .pdf or .png; with
                      --over-time .svg or .gif (default: NAME.svg, here)
  --width LENGTH      of the paper (160mm)
  --type SIZE         of the numbers in it (8pt)
  --dots N            of a PNG or GIF, an inch (300; GIF 96)
  --over-time TIME    a run's section moves through the run in so long: 10s
  --json, --quiet     print what was done as JSON; print nothing but errors

Example:
  emberbank picture bakery receiver -o receiver.pdf --width 120mm --type 9pt

Exit: 0 done, 1 no such picture or no room, 2 no such flag, 3 disk, 4 stopped.
`,
	"tidy": `emberbank tidy [DIR] [--free] [--json]

Show, by kind and size, what in DIR (default: here) and below can be computed
again or is asked for by nothing any more: fields and pictures of runs whose
files have not changed since, opened variants, variants that their study no
longer asks for, and what killed runs have left. What it does not know, and what
would not come out the same again, it leaves alone and says why. Files of
inputs, loggers, trials and matches are never touched.

  --free   remove what is shown; emberbank run brings the same bytes again
  --json   print the listing as JSON

Example:
  emberbank tidy bakery

Exit: 0 done, 1 no such folder, 2 no such flag, 3 could not read or remove.
`,
	"work": `emberbank work --join ADDRESS [flags]

Run variants of studies that are offered at a queue, until Ctrl-C: by a study
that was opened to others (emberbank study --open), or at a server of its own.
Study and workers must be the same file of the program. Beyond this machine
only with encryption (tls://HOST:PORT) and a secret: see docs/farm.md.

  --join ADDRESS     tls://HOST:PORT; nats://127.0.0.1:PORT for this machine
  --secret FILE      one line, name:password, or NATS credentials
  --trust FILE       certificate (PEM) of who vouches for the server
  --workers N        N variants at a time (default: all cores)
  --idle TIME        end when there was nothing to do for so long (10min)
  --json             print how many were run as JSON, at the end
  --quiet            print nothing but errors

Example:
  emberbank work --join nats://127.0.0.1:4222 --secret secret --idle 10min

Ctrl-C hands back what is under way: others run it. A worker may be killed.
Exit: 0 done, 2 refused or no such flag, 3 no queue answers, 4 stopped.
`,
	"verify": `emberbank verify [--only TOPIC] [--json]

Compute cases with known answers on this machine and compare: tables of the
water standard, exact conduction and melting, thermal bridges, films, radiation.
Each row shows source, expected, computed, tolerance and verdict; a failure is
shown as a failure.

  --only TOPIC   only the rows of one topic
  --json         print the rows as JSON

Example:
  emberbank verify --only tubes

Exit: 0 all within tolerance, 2 no such topic, 4 stopped, 5 a row failed.
`,
	"schema": `emberbank schema KIND

Print the JSON Schema of a kind of file, so that an editor can complete and
check while you type. KIND is one of receiver, duty, run, bench, material,
trial, match, plan, study, light, season, dossier.

Example:
  emberbank schema receiver > receiver.schema.json

Exit: 0 done, 2 no such kind, 3 could not write.
`,
	"materials": `emberbank materials [NAME] [--json]

List the catalogue of materials, or show one: properties over temperature, the
range in which they hold, their uncertainty and their sources. A value from
memory says so and carries at least 20 %.

  --json   print as JSON, in SI units

Example:
  emberbank materials tin

Exit: 0 done, 1 no such material.
`,
	"version": `emberbank version [--json]

Print the version of the program and what it was built with.

  --json   print as JSON

Example:
  emberbank version

Exit: 0 done.
`,
}

// helpFor returns the help of the command among args, or the program's.
func helpFor(args []string) string {
	for _, a := range args {
		if a == "--" || strings.HasPrefix(a, "-") {
			continue
		}
		if a == "help" {
			continue
		}
		if t, ok := helpTexts[a]; ok {
			return t
		}
		break
	}
	return helpTexts[""]
}
