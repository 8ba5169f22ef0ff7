# The targets that people type. `make help` lists them.

GO     ?= go
BIN    := bin/marchpane
SUDO   := $(shell [ "$$(id -u)" = 0 ] || echo sudo)
# What the tests drive from outside: a PDF reader and checker, a spreadsheet
# program, a database shell, a calculator of units, Python's readers of e-mail
# and calendar files, and a browser.
TOOLS  := poppler-utils qpdf libreoffice-calc-nogui sqlite3 units bc python3 python3-icalendar chromium

# The tests that do several things at once; the race detector watches these.
ATONCE := NoGaps|EachOrder|ConcurrentUse|Repeatable|DescribesItself

export CGO_ENABLED = 0

.PHONY: help build demo run screens test quick bench lint tools fuzz clean

help: ## list the targets
	@sed -n 's/^\([a-z]*\):.*## /\1\t/p' $(MAKEFILE_LIST) | expand -t 10

build: ## build the program into bin/
	$(GO) build -trimpath -ldflags "-s -w" -o $(BIN) ./cmd/marchpane

demo: build ## price the demo studio's wedding cake into ./demo/
	@$(BIN) demo ./demo --fresh

run: build ## serve the demo studio to your browser
	@$(BIN) serve --demo --open

SCREENS ?= screens

screens: ## take pictures of every page into screens/, and the README's again (needs chromium)
	@mkdir -p $(SCREENS)
	MARCHPANE_SCREENS="$(abspath $(SCREENS))" MARCHPANE_PICTURES="$(abspath seed/pictures)" \
	  $(GO) test -count=1 -run 'TestPagesInTheBrowser|TestPicturesOfTheReadme' ./cmd/internal/web
	@echo "The pictures are in $(SCREENS)."

quick: ## the tests that need nothing but Go
	$(GO) test -short ./...

test: tools ## every test, outside tools included
	$(GO) test -timeout 30m ./...
	@if command -v gcc >/dev/null; then \
	  CGO_ENABLED=1 $(GO) test -race -short -run '$(ATONCE)' ./store ./templates/pdf ./templates/sheet; \
	else echo "no C compiler: the race detector is left out"; fi

bench: ## measure, beside baselines from the same run
	$(GO) test -run '^$$' -bench . -benchmem -timeout 3h ./...

lint: ## formatting, vet, staticcheck
	@unformatted=$$(gofmt -l .); if [ -n "$$unformatted" ]; then echo "gofmt: $$unformatted"; exit 1; fi
	$(GO) vet ./...
	$(GO) tool staticcheck ./...
	$(GO) mod tidy -diff

fuzz: ## a minute of each fuzz target
	@for target in $$(grep -rho 'func Fuzz[A-Za-z]*' --include='*_test.go' . | sed 's/func //'); do \
	  dir=$$(dirname $$(grep -rl "func $$target(" --include='*_test.go' .)); \
	  $(GO) test -run '^$$' -fuzz "^$$target$$" -fuzztime 60s $$dir || exit 1; \
	done

tools: # install what the tests drive, on Debian
	@missing=; for tool in pdftotext qpdf soffice sqlite3 units bc chromium; do command -v $$tool >/dev/null || missing="$$missing $$tool"; done; \
	/usr/bin/python3 -c 'import icalendar' 2>/dev/null || missing="$$missing python3-icalendar"; \
	if [ -n "$$missing" ]; then \
	  command -v apt-get >/dev/null || { echo "the tests need:$$missing"; exit 1; }; \
	  $(SUDO) apt-get update -qq && DEBIAN_FRONTEND=noninteractive $(SUDO) apt-get install -y -qq --no-install-recommends $(TOOLS) >/dev/null; \
	fi

clean: ## remove what was built
	rm -rf bin demo screens
