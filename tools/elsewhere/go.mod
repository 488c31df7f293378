// A check of the project as other systems see it, in a module of its own, so that its library is in no other's go.mod.
module emberbank/tools/elsewhere

go 1.26.0

require golang.org/x/tools v0.51.0

require (
	golang.org/x/mod v0.41.0 // indirect
	golang.org/x/sync v0.23.0 // indirect
)
