package plot

import (
	"bytes"
	"encoding/binary"
	"image"
	"math/bits"
)

// Limits of a match in the compressed data (RFC 1951, 3.2.5), in bytes.
const (
	longestMatch = 258
	farthest     = 32768
)

// blockTokens is how many tokens share a Huffman code: few enough to follow the
// picture, many enough to outweigh the code's own length.
const blockTokens = 1 << 14

// pixelBytes is what a pixel takes in the data.
const pixelBytes = 3

// deflate is the image as zlib data (RFC 1950): every row behind its filter
// type 0, compressed by runs and repeats of whole pixels.
func deflate(img *image.RGBA) []byte {
	size := img.Bounds().Size()
	d := deflater{pix: img.Pix, width: size.X, tokens: make([]token, 0, blockTokens)}
	d.bits.out = []byte{0x78, 0x01} // 32 KB window, fast
	for y := range size.Y {
		d.row(y)
	}
	d.block(true)
	d.bits.align()
	return binary.BigEndian.AppendUint32(d.bits.out, adler(img.Pix, size.X))
}

// deflater finds repeats in rows of pixels.
type deflater struct {
	pix    []byte // four bytes a pixel
	width  int
	places [1 << 13]int32 // by the hash of two pixels: one more than the place they stood last
	tokens []token
	bits   bitWriter
}

func (d *deflater) at(i int) uint32 { return binary.LittleEndian.Uint32(d.pix[4*i:]) }

// row adds a row of pixels, each as the longest repeat that is to be had.
func (d *deflater) row(y int) {
	d.add(filterToken)
	start, end := y*d.width, (y+1)*d.width
	for i := start; i < end; {
		run := 0
		if i > start {
			run = d.same(i, i-1, end)
		}
		n, dist := run, pixelBytes
		if run < 4 { // a run has the shortest code
			if far, at := d.repeat(i, y, end); far > run+1 {
				n, dist = far, at
			}
		}
		if n == 0 {
			d.add(token(d.at(i) & 0xffffff))
			n = 1
		} else {
			d.match(pixelBytes*n, dist)
		}
		i += n
	}
}

// same counts the pixels from i on that repeat those from j on.
func (d *deflater) same(i, j, end int) int {
	const many = 64 * 4 // bytes
	a, b := d.pix[4*i:4*end], d.pix[4*j:4*(j+end-i)]
	n := len(a)
	for len(a) >= many && bytes.Equal(a[:many], b[:many]) {
		a, b = a[many:], b[many:]
	}
	for len(a) >= 4 && len(b) >= 4 && binary.LittleEndian.Uint32(a) == binary.LittleEndian.Uint32(b) {
		a, b = a[4:], b[4:]
	}
	return (n - len(a)) / 4
}

// repeat is the longest of two repeats of the pixels from i on, in pixels: of the
// row above, and of the place where the next two stood last. dist is in bytes.
func (d *deflater) repeat(i, y, end int) (n, dist int) {
	if above := pixelBytes*d.width + 1; y > 0 && above <= farthest {
		n, dist = d.same(i, i-d.width, end), above
	}
	if i+1 >= end {
		return n, dist
	}
	place := &d.places[(d.at(i)*0x9e3779b1^d.at(i+1)*0x85ebca6b)>>(32-13)]
	j := int(*place) - 1
	*place = int32(i + 1)
	if j < 0 || pixelBytes*(i-j) > farthest || d.at(j) != d.at(i) {
		return n, dist
	}
	row := int(uint32(j) / uint32(d.width))
	back := pixelBytes*(i-j) + y - row // a byte more for every row between
	if back > farthest {
		return n, dist
	}
	last := (row + 1) * d.width // a repeat ends with its row, or the filter types get in the way
	if m := d.same(i, j, min(end, i+last-j)); m > n {
		return m, back
	}
	return n, dist
}

// token is the bytes of a pixel, the filter type of a row, or the length and the
// distance of a match.
type token uint32

const (
	filterToken token = 1 << 30
	matchToken  token = 1 << 31
)

func (d *deflater) match(length, dist int) {
	for length > 0 {
		n := min(length, longestMatch)
		d.add(matchToken | token(n)<<16 | token(dist-1))
		length -= n
	}
}

func (d *deflater) add(t token) {
	d.tokens = append(d.tokens, t)
	if len(d.tokens) == blockTokens {
		d.block(false)
	}
}

// lengthCode is the symbol of a match's length with its extra bits (RFC 1951,
// 3.2.5; the table in closed form derived here).
func lengthCode(t token) (symbol int, extra uint64, n uint) {
	l := uint(t>>16) & 0x1ff
	if l == longestMatch {
		return 285, 0, 0
	}
	l -= 3
	if l < 8 {
		return 257 + int(l), 0, 0
	}
	n = uint(bits.Len(l)) - 3
	return 257 + int(n<<2+l>>n), uint64(l & (1<<n - 1)), n
}

// distanceCode is lengthCode for a match's distance.
func distanceCode(t token) (symbol int, extra uint64, n uint) {
	dist := uint(t & 0xffff)
	if dist < 4 {
		return int(dist), 0, 0
	}
	n = uint(bits.Len(dist)) - 2
	return int(n<<1 + dist>>n), uint64(dist & (1<<n - 1)), n
}

// adler is the checksum of the rows (RFC 1950, 9), filter types included.
func adler(pix []byte, width int) uint32 {
	const prime = 65521
	a, b := uint64(1), uint64(0)
	var last []byte
	var sum, weighted uint64 // of the last row
	for ; len(pix) >= 4*width; pix = pix[4*width:] {
		if row := pix[:4*width]; !bytes.Equal(row, last) {
			sum, weighted = rowSums(row)
			last = row
		}
		b += uint64(pixelBytes*width+1)*a + weighted
		a += sum
		a, b = a%prime, b%prime
	}
	return uint32(b<<16 | a)
}

// rowSums are the sum of a row's bytes, and their sum with the last byte once,
// the one before twice and so on.
func rowSums(row []byte) (sum, weighted uint64) {
	for ; len(row) >= 4; row = row[4:] {
		red, green, blue := uint64(row[0]), uint64(row[1]), uint64(row[2])
		weighted += 3*(sum+red) + 2*green + blue
		sum += red + green + blue
	}
	return sum, weighted
}
