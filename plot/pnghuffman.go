package plot

import (
	"cmp"
	"encoding/binary"
	"math/bits"
	"slices"
)

// Alphabets of a block with codes of its own (RFC 1951, 3.2.5 to 3.2.7).
const (
	lengthSymbols   = 286 // bytes, the end of a block and lengths
	distanceSymbols = 30
	endOfBlock      = 256
	longestCode     = 15
	longestCodeCode = 7 // of the code that tells the code lengths
)

// lengthOrder is the order in which the lengths of that last code are told.
var lengthOrder = [...]int{16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15}

// block writes the tokens gathered as one block.
func (d *deflater) block(last bool) {
	lengths, distances := d.count()
	l, m := huffman(lengths, longestCode), huffman(distances, longestCode)
	w := &d.bits
	w.blockHead(last, l, m)
	for _, t := range d.tokens {
		switch {
		case t < filterToken:
			for range pixelBytes {
				w.put(l[t&0xff].bits, l[t&0xff].n)
				t >>= 8
			}
		case t == filterToken:
			w.put(l[0].bits, l[0].n)
		default:
			symbol, extra, n := lengthCode(t)
			w.put(l[symbol].bits|extra<<l[symbol].n, l[symbol].n+n)
			symbol, extra, n = distanceCode(t)
			w.put(m[symbol].bits|extra<<m[symbol].n, m[symbol].n+n)
		}
	}
	w.put(l[endOfBlock].bits, l[endOfBlock].n)
	d.tokens = d.tokens[:0]
}

// count tells how often the tokens need each symbol.
func (d *deflater) count() (lengths, distances []int) {
	lengths, distances = make([]int, lengthSymbols), make([]int, distanceSymbols)
	lengths[endOfBlock] = 1
	for _, t := range d.tokens {
		switch {
		case t < filterToken:
			for range pixelBytes {
				lengths[t&0xff]++
				t >>= 8
			}
		case t == filterToken:
			lengths[0]++
		default:
			symbol, _, _ := lengthCode(t)
			lengths[symbol]++
			symbol, _, _ = distanceCode(t)
			distances[symbol]++
		}
	}
	return lengths, distances
}

// blockHead starts a block and tells its two codes, length by length.
func (w *bitWriter) blockHead(last bool, codes ...[]code) {
	counts := make([]int, len(lengthOrder))
	for _, alphabet := range codes {
		for _, c := range alphabet {
			counts[c.n]++
		}
	}
	told := huffman(counts, longestCodeCode)
	const dynamic = 2
	w.put(dynamic<<1|uint64(btoi(last)), 3)
	w.put(lengthSymbols-257, 5)
	w.put(distanceSymbols-1, 5)
	w.put(uint64(len(lengthOrder)-4), 4)
	for _, i := range lengthOrder {
		w.put(uint64(told[i].n), 3)
	}
	for _, alphabet := range codes {
		for _, c := range alphabet {
			w.put(told[c.n].bits, told[c.n].n)
		}
	}
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// code is the code of a symbol, its first bit lowest; n is 0 for a symbol that
// does not occur.
type code struct {
	bits uint64
	n    uint
}

// huffman gives every symbol that occurs a code of at most so many bits. Two
// symbols at least get one, as a code of one symbol is not allowed everywhere.
func huffman(counts []int, most uint) []code {
	counts = slices.Clone(counts)
	for i := 0; used(counts) < 2; i++ {
		counts[i] = max(counts[i], 1)
	}
	for {
		lengths, longest := codeLengths(counts)
		if longest <= most {
			return canonical(lengths)
		}
		for i, n := range counts { // flatter counts make shorter codes
			counts[i] = (n + 1) / 2
		}
	}
}

func used(counts []int) int {
	n := 0
	for _, c := range counts {
		n += min(c, 1)
	}
	return n
}

// codeLengths are the lengths of the codes that make the shortest text (Huffman
// 1952, with two queues after van Leeuwen 1976).
func codeLengths(counts []int) (lengths []uint, longest uint) {
	type node struct{ count, parent int }
	var symbols []int
	for i, n := range counts {
		if n > 0 {
			symbols = append(symbols, i)
		}
	}
	slices.SortStableFunc(symbols, func(a, b int) int { return cmp.Compare(counts[a], counts[b]) })
	nodes := make([]node, 0, 2*len(symbols))
	for _, s := range symbols {
		nodes = append(nodes, node{count: counts[s]})
	}
	leaf, inner := 0, len(symbols)
	least := func() int {
		if leaf < len(symbols) && (inner == len(nodes) || nodes[leaf].count <= nodes[inner].count) {
			leaf++
			return leaf - 1
		}
		inner++
		return inner - 1
	}
	for range len(symbols) - 1 {
		a, b := least(), least()
		nodes[a].parent, nodes[b].parent = len(nodes), len(nodes)
		nodes = append(nodes, node{count: nodes[a].count + nodes[b].count})
	}
	lengths = make([]uint, len(counts))
	depths := make([]uint, len(nodes))
	for i := len(nodes) - 2; i >= 0; i-- {
		depths[i] = depths[nodes[i].parent] + 1
		if i < len(symbols) {
			lengths[symbols[i]] = depths[i]
			longest = max(longest, depths[i])
		}
	}
	return lengths, longest
}

// canonical are the codes that follow from their lengths (RFC 1951, 3.2.2).
func canonical(lengths []uint) []code {
	var next [longestCode + 2]uint64
	for _, n := range lengths {
		if n > 0 {
			next[n+1]++
		}
	}
	for n := 1; n < len(next); n++ {
		next[n] = (next[n] + next[n-1]) << 1
	}
	codes := make([]code, len(lengths))
	for i, n := range lengths {
		if n > 0 {
			codes[i] = code{bits.Reverse64(next[n]) >> (64 - n), n}
			next[n]++
		}
	}
	return codes
}

// bitWriter packs bits, the first lowest.
type bitWriter struct {
	out  []byte
	bits uint64
	n    uint // fewer than 32 between calls
}

// put adds the lowest n bits, at most 32, of a value that has no others.
func (w *bitWriter) put(v uint64, n uint) {
	w.bits |= v << w.n
	w.n += n
	if w.n >= 32 {
		w.out = binary.LittleEndian.AppendUint32(w.out, uint32(w.bits))
		w.bits >>= 32
		w.n -= 32
	}
}

// align fills up the last byte.
func (w *bitWriter) align() {
	for ; w.n > 0; w.n -= min(w.n, 8) {
		w.out = append(w.out, byte(w.bits))
		w.bits >>= 8
	}
}
