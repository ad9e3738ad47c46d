package plot

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"io"
	"math"
)

// pngLevel compresses lines and letters about as well as the best level does, in
// a fraction of its time.
const pngLevel = zlib.BestSpeed

// Parts of a PNG file (ISO/IEC 15948, chapters 5 and 11).
const (
	pngSignature = "\x89PNG\r\n\x1a\n"
	pngDepth     = 8 // bits a colour
	pngTrueColor = 2 // red, green and blue, no opacity
)

// encodePNG writes an opaque image whose rows stand without a gap. The encoder
// of the standard library tries five filters on every row, which suit photographs;
// on lines and letters that took most of the time and made larger files.
func encodePNG(w io.Writer, img *image.RGBA, dpi int) error {
	size := img.Bounds().Size()
	head := binary.BigEndian.AppendUint32(nil, uint32(size.X))
	head = binary.BigEndian.AppendUint32(head, uint32(size.Y))
	b := []byte(pngSignature)
	b = appendChunk(b, "IHDR", append(head, pngDepth, pngTrueColor, 0, 0, 0))
	b = appendChunk(b, "pHYs", physicalSize(dpi))
	data, err := pixels(img)
	if err != nil {
		return fmt.Errorf("compress PNG: %w", err)
	}
	b = appendChunk(b, "IDAT", data)
	b = appendChunk(b, "IEND", nil)
	if _, err := w.Write(b); err != nil {
		return fmt.Errorf("write PNG: %w", err)
	}
	return nil
}

func appendChunk(b []byte, name string, data []byte) []byte {
	b = binary.BigEndian.AppendUint32(b, uint32(len(data)))
	start := len(b)
	b = append(append(b, name...), data...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[start:]))
}

// physicalSize is the content of the pHYs chunk: without it a picture placed in
// a document takes an arbitrary size.
func physicalSize(dpi int) []byte {
	perMetre := uint32(math.Round(float64(dpi) / mmPerInch * 1000))
	b := binary.BigEndian.AppendUint32(nil, perMetre)
	b = binary.BigEndian.AppendUint32(b, perMetre)
	return append(b, 1) // dots a metre
}

// pixelBytes is what a pixel takes in the data.
const pixelBytes = 3

// pixels is the image as zlib data: every row behind filter type 0, none.
func pixels(img *image.RGBA) ([]byte, error) {
	size := img.Bounds().Size()
	var b bytes.Buffer
	z, err := zlib.NewWriterLevel(&b, pngLevel)
	if err != nil {
		return nil, err
	}
	row := make([]byte, 1+pixelBytes*size.X)
	for y := range size.Y {
		to := row[1:]
		for from := img.Pix[y*img.Stride:][:4*size.X]; len(from) > 0; from, to = from[4:], to[pixelBytes:] {
			to[0], to[1], to[2] = from[0], from[1], from[2]
		}
		if _, err := z.Write(row); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
