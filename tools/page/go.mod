// The bundler of the page, in a module of its own: it is not linked into the product.
module emberbank/tools/page

go 1.26.0

require github.com/evanw/esbuild v0.28.2

require golang.org/x/sys v0.0.0-20220715151400-c0bba94af5f8 // indirect
