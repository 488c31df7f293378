module emberbank

go 1.26

require (
	github.com/alecthomas/kong v1.17.0 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	go.yaml.in/yaml/v4 v4.0.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
