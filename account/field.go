package account

import (
	"bufio"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"io"
	"math"

	"emberbank/block"
	"emberbank/heat"
)

// WriteField writes one temperature field in the VTK XML form for rectilinear grids: x is depth, y width, z
// height, in m. Cell data are "temperature [degC]" (NaN in air), "melted [1]" and "part [1]", the number of the
// receiver's part, -1 in air.
//
// Source of the form: "VTK File Formats" (Kitware), section XML file formats, RectilinearGrid. Arrays are inline
// base64 of a 64-bit byte count and little-endian values.
func WriteField(w io.Writer, g *block.Grid, part []int16, f heat.Field) error {
	n := g.Cells()
	if len(f.Temperature) != n || len(f.Melted) != n || len(part) != n {
		return fmt.Errorf("the field at %s s has %d temperatures, %d melted fractions and %d parts over %d cells", decimal(f.Time), len(f.Temperature), len(f.Melted), len(part), n)
	}
	out := bufio.NewWriter(w)
	extent := fmt.Sprintf("0 %d 0 %d 0 %d", g.N(block.Depth), g.N(block.Width), g.N(block.Height))
	fmt.Fprintf(out, "<?xml version=\"1.0\"?>\n<VTKFile type=\"RectilinearGrid\" version=\"1.0\" byte_order=\"LittleEndian\" header_type=\"UInt64\">\n")
	fmt.Fprintf(out, "<RectilinearGrid WholeExtent=\"%s\">\n", extent)
	fmt.Fprintf(out, "<FieldData><DataArray type=\"Float64\" Name=\"TimeValue\" NumberOfTuples=\"1\" format=\"ascii\">%s</DataArray></FieldData>\n", decimal(f.Time))
	fmt.Fprintf(out, "<Piece Extent=\"%s\">\n<CellData Scalars=\"temperature [degC]\">\n", extent)
	celsius := make([]float64, n)
	for i, T := range f.Temperature {
		celsius[i] = math.Round((T-273.15)*1e9) / 1e9
	}
	array(out, "temperature [degC]", "Float64", celsius)
	array(out, "melted [1]", "Float64", f.Melted)
	array(out, "part [1]", "Int16", part)
	fmt.Fprintf(out, "</CellData>\n<Coordinates>\n")
	for a := block.Depth; a <= block.Height; a++ {
		array(out, a.String()+" [m]", "Float64", g.Lines[a])
	}
	fmt.Fprintf(out, "</Coordinates>\n</Piece>\n</RectilinearGrid>\n</VTKFile>\n")
	return out.Flush()
}

// array prints numbers a piece at a time: a large grid has many.
func array[V float64 | int16](w io.Writer, name, kind string, values []V) {
	fmt.Fprintf(w, "<DataArray type=\"%s\" Name=\"%s\" format=\"binary\">", kind, name)
	text := base64.NewEncoder(base64.StdEncoding, w)
	piece := binary.LittleEndian.AppendUint64(nil, uint64(binary.Size(values)))
	for len(values) > 0 {
		n := min(len(values), 1024)
		piece, _ = binary.Append(piece, binary.LittleEndian, values[:n]) // numbers of a fixed size: no error can arise
		_, _ = text.Write(piece)                                         // kept for the flush, like those below
		piece, values = piece[:0], values[n:]
	}
	_, _ = text.Write(piece) // the count alone, where there are no values
	_ = text.Close()
	fmt.Fprintf(w, "</DataArray>\n")
}
