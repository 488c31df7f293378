module emberbank

go 1.26
