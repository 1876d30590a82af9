# Stampmill: every job has one target. "make help" lists them.

SHELL := /bin/bash
.SHELLFLAGS := -eu -o pipefail -c
.DEFAULT_GOAL := help

OUT := .build
ADDR ?= :0
FUZZTIME ?= 20s

# Packages that hold no go-app page and no process: they must give the same
# results compiled for the browser.
PURE = $(shell go list -f '{{.ImportPath}} {{join .Deps " "}}' ./exercises/... ./synth/... ./app/... | grep -v '/go-app/' | cut -d' ' -f1)

# On Linux "stampmill play" needs C and the headers of ALSA, which "make tools"
# installs where it may; without them everything is built but sound output.
SOUND = $(shell pkg-config --exists alsa 2>/dev/null && echo -tags=alsa)

# Packages whose tests start a browser.
BROWSER = '/web/sitetest(/engine)?$$'

.PHONY: help run build test tools format vet lint unit pure bench bench-once browser fuzz clean

help: ## list the targets
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-11s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

run: ## build the site and serve it on this machine (ADDR=:8080 for a fixed port)
	@go build $(SOUND) -o $(OUT)/stampmill ./cmd/stampmill
	@exec $(OUT)/stampmill serve -addr $(ADDR)

build: ## build the static site into .build/site and print its sizes
	go run ./cmd/stampmill build -o $(OUT)/site

test: ## run every check there is, one layer after the other
	@$(MAKE) --no-print-directory tools
	@$(MAKE) --no-print-directory format
	@$(MAKE) --no-print-directory vet
	@$(MAKE) --no-print-directory lint
	@$(MAKE) --no-print-directory unit
	@$(MAKE) --no-print-directory pure
	@$(MAKE) --no-print-directory bench-once
	@$(MAKE) --no-print-directory browser
	@echo "== all layers passed"

tools: ## install what the tests need, or say what to type
	@echo "== tools: node, npm, Chromium, axe-core"
	@.ci/tools $(OUT)

format: ## all Go files are as gofmt writes them
	@echo "== gofmt"
	@bad=$$(git ls-files -z --cached --others --exclude-standard '*.go' | xargs -0 -r sh -c 'for f; do [ -e "$$f" ] && echo "$$f"; done' sh | xargs -r gofmt -l); \
	if [ -n "$$bad" ]; then echo "not formatted; run gofmt -w on:"; echo "$$bad"; exit 1; fi

vet: ## go vet, for this machine and for the browser
	@echo "== go vet, native and js"
	@go vet ./...
	@go vet $(SOUND) ./cmd/...
	@GOOS=js GOARCH=wasm go vet ./...

lint: ## staticcheck, for this machine and for the browser
	@echo "== staticcheck, native and js"
	@go build -o $(OUT)/staticcheck honnef.co/go/tools/cmd/staticcheck
	@$(OUT)/staticcheck ./...
	@$(OUT)/staticcheck $(SOUND) ./cmd/...
	@GOOS=js GOARCH=wasm $(OUT)/staticcheck ./...

unit: ## unit, property, golden tests and fuzz corpora, natively
	@echo "== unit tests, native"
	@go test $$(go list ./... | grep -vE $(BROWSER))
	@go test $(SOUND) ./cmd/stampmill/speaker

# The runner of Go's js port hands the whole environment to node and has 8 KiB
# for it and the arguments: only what is needed goes through.
pure: ## the packages without pages again, compiled for the browser, under node
	@echo "== unit tests, js under node; -short: tests too long for node ran natively just before"
	@exec="env -i PATH=$$PATH HOME=$$HOME $$(go env GOROOT)/lib/wasm/go_js_wasm_exec"; \
	GOOS=js GOARCH=wasm go test -short -exec "$$exec" $(PURE)

bench: ## all benchmarks, with time to measure
	go test -run '^$$' -bench . -benchmem ./...

bench-once: ## all benchmarks once, so that they keep working
	@echo "== benchmarks, once each"
	@go test -run '^$$' -bench . -benchtime 1x $$(go list ./... | grep -vE $(BROWSER)) | grep -v -e '^PASS$$' -e 'no test files'

browser: ## the site in a real Chromium; pictures of every page go to .build/screens
	@echo "== browser tests"
	@go test -count 1 -p 1 -timeout 10m -v $$(go list ./web/... | grep -E $(BROWSER)) | grep -v '^=== '

fuzz: ## fuzz every fuzz target for FUZZTIME (20s)
	@grep -rlE '^func Fuzz' --include='*_test.go' . | xargs -r -n1 dirname | sort -u | while read -r dir; do \
	  for f in $$(grep -hoE '^func Fuzz[A-Za-z0-9_]*' $$dir/*_test.go | sed 's/func //'); do \
	    echo "== $$dir $$f"; go test -run '^$$' -fuzz "^$$f$$" -fuzztime $(FUZZTIME) $$dir; \
	  done; done

clean: ## remove everything that was built
	rm -rf $(OUT)
