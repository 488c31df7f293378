// Tests of the page in a real browser, in a module of their own: nothing of it is linked into the product.
module emberbank/tools/browser

go 1.26.0

require (
	github.com/chromedp/cdproto v0.160.1
	github.com/chromedp/chromedp v0.23.0
)

require github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875 // indirect
