package main

import (
	"github.com/mmcloughlin/avo/attr"
	. "github.com/mmcloughlin/avo/build"
	"github.com/mmcloughlin/avo/operand"
)

// publish writes a store after all stores before it: on this processor any is.
func publish() {
	TEXT("publishAMD64", attr.NOSPLIT, "func(at *uint64, v uint64)")
	doc("publishAMD64 is Publish.")
	Pragma("noescape")
	at := Load(Param("at"), GP64())
	MOVQ(Load(Param("v"), GP64()), operand.Mem{Base: at})
	RET()
}
