package plot

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/adler32"
	"hash/crc32"
	"image"
	"io"
	"math"
	"sync"
)

// pngLevel compresses lines and letters about as well as the best level does, in
// a fraction of its time.
const pngLevel = flate.BestSpeed

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

// pngBands is how many bands of rows are compressed side by side, whatever the
// machine: the bytes are the same everywhere.
const pngBands = 2

// pixels is the image as zlib data (RFC 1950): every row behind filter type 0,
// none. The bands are one stream: each but the last ends at a whole byte.
func pixels(img *image.RGBA) ([]byte, error) {
	height := img.Bounds().Dy()
	var bands [pngBands]bytes.Buffer
	var errs [pngBands]error
	sum := adler32.New()
	var all sync.WaitGroup
	for i := range bands {
		all.Go(func() { errs[i] = compress(&bands[i], img, height*i/pngBands, height*(i+1)/pngBands, i == pngBands-1) })
	}
	err := eachRow(img, 0, height, sum)
	all.Wait()
	if err := errors.Join(append(errs[:], err)...); err != nil {
		return nil, err
	}
	data := []byte{0x78, 0x01} // deflate with a window of 32 KB, fast
	for i := range bands {
		data = append(data, bands[i].Bytes()...)
	}
	return sum.Sum(data), nil
}

// compress deflates some rows.
func compress(to io.Writer, img *image.RGBA, from, end int, last bool) error {
	z, err := flate.NewWriter(to, pngLevel)
	if err != nil {
		return err
	}
	if err := eachRow(img, from, end, z); err != nil {
		return err
	}
	if last {
		return z.Close()
	}
	return z.Flush()
}

// eachRow writes rows as a PNG holds them.
func eachRow(img *image.RGBA, from, end int, w io.Writer) error {
	width := img.Bounds().Dx()
	row := make([]byte, 1+pixelBytes*width)
	for y := from; y < end; y++ {
		to := row[1:]
		for pix := img.Pix[y*img.Stride:][:4*width]; len(pix) > 0; pix, to = pix[4:], to[pixelBytes:] {
			to[0], to[1], to[2] = pix[0], pix[1], pix[2]
		}
		if _, err := w.Write(row); err != nil {
			return err
		}
	}
	return nil
}
