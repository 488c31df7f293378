package water_test

import (
	"fmt"

	"emberbank/water"
)

// Water enters a hot pass at 15 °C and 1 bar; each kilogram picks up 1 MJ.
func Example() {
	b, err := water.NewIsobar(1e5)
	if err != nil {
		fmt.Println(err)
		return
	}
	out := b.At(b.Enthalpy(288.15) + 1e6)
	fmt.Printf("%.2f degC, quality %.3f, %.3f kg/m3\n", out.T-273.15, out.Quality, out.Density)
	// Output: 99.61 degC, quality 0.286, 2.061 kg/m3
}
