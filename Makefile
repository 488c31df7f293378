# Needs Go 1.26 or newer, Node 20 or newer with npm, and make; the tests need Chromium besides. No C compiler. Everything that is made lies in build/.
#
#   make demo      build, run the demo bench, match it to its made-up trials, say where to look
#   make trials    write the demo's made-up loggers' files anew, by bench/madeup_test.go
#   make test      format, lint and all tests
#   make fuzz      every parser against made-up input, 20 s each (FUZZTIME=5m for longer)
#   make speed     the benchmarks by the built program: times, rates, memory, profile; rewrites the tables of
#                  docs/performance.md. PEER=FOLDER: beside a program that solves B1 by CVODE
#   make coverage  200 matches of made-up trials by real runs: do the 95 % intervals hold the truth? Rewrites
#                  docs/coverage.md; some twenty minutes on two cores
#   make golden    rewrite the golden files; read what changed
#   make kernels   rewrite the assembly of kernel/ from its generator, tools/kernels, after a change to that, to
#                  kernel.Sweep or to kernel.Curve
#   make licences  rewrite THIRD_PARTY.md: the licences of what is linked into the program
#   make release   one static binary for each system, with checksums
#   make clean     remove build/

GO       ?= go
FUZZTIME ?= 20s
BUILD    ?= release
PEER     ?=
export CGO_ENABLED = 0

# The property tests draw the same cases each time, so that a red test is red again. Others: see CONTRIBUTING.md.
RAPID_SEED ?= 1
export RAPID_SEED

LDFLAGS   = -s -w -X emberbank/cli.build=$(BUILD)
BINARY    = build/emberbank
GOFUMPT   = build/tools/gofumpt
CHECKER   = build/tools/staticcheck
TOOLS     = $(GOFUMPT) $(CHECKER)
GENERATED = twins_amd64.s twins_amd64.go
GENERATE  = mkdir -p build/_kernels && cd tools/kernels && $(GO) run . -out ../../build/_kernels/twins_amd64.s -stubs ../../build/_kernels/twins_amd64.go -pkg kernel
OURS      = $$(find . -name '*.go' -not -path './build/*')

# The page that the program serves: types checked, bundled, embedded. It is not kept in the repository.
PAGE        = web/bundle/page.js
PAGEMODULES = page/node_modules/.package-lock.json
PAGESOURCES = $(shell find page/src -type f) page/index.html page/tsconfig.json $(wildcard tools/page/*)

.PHONY: build demo trials test lint unit fuzz speed coverage golden kernels licences release clean go

build: go $(PAGE)
	@$(GO) build -trimpath -ldflags '$(LDFLAGS)' -o build/ ./cmd/emberbank

$(PAGEMODULES): page/package-lock.json
	@command -v npm >/dev/null || { \
		echo "error: npm is missing"; echo "  fix: install Node 20 or newer with npm (Debian: apt-get install npm)"; exit 1; }
	@echo "fetching what the page is built with (once)"
	@cd page && npm ci --silent
	@touch $@

$(PAGE): $(PAGEMODULES) $(PAGESOURCES)
	@cd page && node_modules/.bin/tsc --noEmit
	@cd tools/page && $(GO) build -o ../../build/tools/page .
	@build/tools/page -from page -into web/bundle -faces paper/faces

demo: build
	@test -e build/demo/bench.yaml || $(BINARY) new build/demo
	@$(BINARY) run build/demo
	@echo
	@echo "Two made-up trials: does the heat flow depend on the flow of water?"
	@$(BINARY) compare build/demo/trials/lamp-slow.yaml build/demo/trials/lamp-fast.yaml --shared
	@echo
	@echo "What would two hours under the lamp teach?"
	@$(BINARY) plan build/demo/plan.yaml
	@echo
	@echo "How thick should the mineral wool be?"
	@$(BINARY) study build/demo/insulation.yaml
	@echo
	@echo "Three made-up trials are fitted, a fourth is predicted: some minutes."
	@$(BINARY) match build/demo/match.yaml
	@echo
	@echo "The bench is build/demo: plain files to read and change. Its results are in build/demo/results:"
	@echo "open the pictures (*.svg) in a browser, history.csv in a spreadsheet, fields/*.vtr in a viewer for VTK files."
	@echo "README.md in it names its files. The trials are made up."
	@echo "Next: $(BINARY) check build/demo, $(BINARY) run FILE, $(BINARY) --help"

test: lint unit

lint: go $(TOOLS)
	@unformatted=$$($(GOFUMPT) -l $(OURS)); \
	if [ -n "$$unformatted" ]; then \
		echo "error: not formatted: $$unformatted"; echo "  fix: $(GOFUMPT) -w $$unformatted"; exit 1; fi
	$(GO) vet ./...
	cd tools/kernels && $(GO) vet ./...
	cd tools/speed && $(GO) vet ./...
	cd tools/page && $(GO) vet ./...
	cd tools/browser && $(GO) vet ./...
	cd tools/elsewhere && $(GO) vet ./... && $(GO) build -o ../../build/tools/elsewhere .
	GOARCH=arm64 $(GO) vet ./kernel
	build/tools/elsewhere windows darwin
	$(CHECKER) ./...
	@$(GENERATE)
	@for f in $(GENERATED); do cmp build/_kernels/$$f kernel/$$f || { \
		echo "error: kernel/$$f is not what its generator writes"; echo "  fix: make kernels"; exit 1; }; done

# Tests are not vetted again: lint has.
unit: go build
	$(GO) test -vet=off -timeout 25m ./...
	cd tools/speed && $(GO) test -vet=off ./...
	cd tools/browser && $(GO) test -vet=off -count=1 -timeout 25m ./... # the built program is no input that the cache knows

$(TOOLS): tools/go.mod tools/go.sum
	@echo "building the checking tools (once)"
	@cd tools && $(GO) build -o ../build/tools/ tool
	@touch $(TOOLS)

fuzz: go
	@GO=$(GO) FUZZTIME=$(FUZZTIME) sh tools/fuzz.sh

speed: build
	@cd tools/speed && $(GO) build -o ../../build/tools/speed .
	@build/tools/speed -emberbank $(BINARY) -results build/speed -go $(GO) -page docs/performance.md -peer "$(PEER)"

coverage: go
	$(GO) test ./match -run TestStatedIntervalsCoverTheTruth -v -timeout 120m -args -coverage.real -coverage.repeats=200 -coverage.page=../docs/coverage.md

trials: go
	$(GO) test ./bench -run TestTrialsOfTheScenarioAreMadeUp -v -args -trials.make

golden: go
	@$(GO) test $$($(GO) list -f '{{range .TestImports}}{{if eq . "emberbank/internal/testkit"}}{{$$.ImportPath}}{{end}}{{end}}{{range .XTestImports}}{{if eq . "emberbank/internal/testkit"}} {{$$.ImportPath}}{{end}}{{end}}' ./... | tr ' ' '\n' | sort -u) -update
	@echo "rewritten; now read what changed, line by line: git diff"

kernels: go
	@$(GENERATE)
	@for f in $(GENERATED); do cp build/_kernels/$$f kernel/$$f; done
	@echo "rewritten: kernel/twins_amd64.s and its declarations"

licences: go
	@GO=$(GO) sh tools/licences.sh

release: go
	@GO=$(GO) sh tools/release.sh

clean:
	@rm -rf build

# go says what is missing instead of leaving it to a message of the shell.
go:
	@command -v $(GO) >/dev/null || { \
		echo "error: Go is missing"; echo "  fix: install Go 1.26 or newer from https://go.dev/dl/ (Debian: apt-get install golang-go where it is new enough)"; exit 1; }
	@v=$$($(GO) env GOVERSION | sed 's/^go1\.//; s/[^0-9].*//'); \
	if [ "$${v:-0}" -lt 26 ] 2>/dev/null; then \
		echo "error: $$($(GO) env GOVERSION) is too old"; echo "  fix: install Go 1.26 or newer from https://go.dev/dl/"; exit 1; fi
