# make test: all tests. More verbs come with the rooms that need them.
.PHONY: test
test:
	go test ./...
