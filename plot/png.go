package plot

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image/png"
	"io"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
)

// pngCanvas draws on an image.
type pngCanvas struct {
	*vgimg.Canvas
	dpi int
}

func newPNGCanvas(pg page) (pngCanvas, error) {
	w, h := pg.pixels()
	if w*h > MaxPNGPixels {
		return pngCanvas{}, fmt.Errorf("PNG of %d x %d pixels; allowed at most %d million pixels: ask for fewer dots an inch",
			w, h, MaxPNGPixels/1_000_000)
	}
	// The canvas gets whole pixels: it places text and lines by two
	// different heights otherwise.
	perInch := vg.Inch / vg.Length(pg.dpi)
	c := vgimg.NewWith(vgimg.UseWH(vg.Length(w)*perInch, vg.Length(h)*perInch),
		vgimg.UseDPI(pg.dpi), vgimg.UseBackgroundColor(pg.theme.Background))
	return pngCanvas{c, pg.dpi}, nil
}

func (c pngCanvas) writeTo(w io.Writer) error {
	var b bytes.Buffer
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := enc.Encode(&b, c.Image()); err != nil {
		return fmt.Errorf("encode PNG: %w", err)
	}
	head := b.Next(pngHeadLength)
	for _, part := range [][]byte{head, physicalSize(c.dpi), b.Bytes()} {
		if _, err := w.Write(part); err != nil {
			return fmt.Errorf("write PNG: %w", err)
		}
	}
	return nil
}

// pngHeadLength is the signature and the IHDR chunk, after which pHYs may
// stand (ISO/IEC 15948).
const pngHeadLength = 8 + 25

// physicalSize is the pHYs chunk: without it a picture placed in a document
// takes an arbitrary size.
func physicalSize(dpi int) []byte {
	perMetre := uint32(math.Round(float64(dpi) / mmPerInch * 1000))
	b := binary.BigEndian.AppendUint32(nil, 9)
	b = append(b, "pHYs"...)
	b = binary.BigEndian.AppendUint32(b, perMetre)
	b = binary.BigEndian.AppendUint32(b, perMetre)
	b = append(b, 1) // dots a metre
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}
