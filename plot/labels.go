package plot

import "slices"

// spread moves labels of one height that want to stand at the given places so
// that they keep apart, do not leave lo to hi, keep their order and move as
// little as possible (least squares; pool adjacent violators, Ayer et al.
// 1955). Where they do not fit at all they overlap evenly.
func spread(wanted []float64, height, lo, hi float64) []float64 {
	n := len(wanted)
	if n == 0 {
		return nil
	}
	if n > 1 {
		height = min(height, max(0, (hi-lo)/float64(n-1)))
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case wanted[a] < wanted[b]:
			return -1
		case wanted[a] > wanted[b]:
			return 1
		}
		return 0
	})
	// Taking the rank's share off turns "keep a height apart" into "do not
	// fall", which pooling solves.
	shifted := make([]float64, n)
	for rank, i := range order {
		shifted[rank] = wanted[i] - float64(rank)*height
	}
	pooled := isotonic(shifted)
	out := make([]float64, n)
	for rank, i := range order {
		most := hi - float64(n-1)*height
		out[i] = min(max(pooled[rank], lo), max(lo, most)) + float64(rank)*height
	}
	return out
}

// isotonic is the least-squares fit that never falls.
func isotonic(y []float64) []float64 {
	type block struct {
		sum float64
		n   int
	}
	var blocks []block
	for _, v := range y {
		blocks = append(blocks, block{v, 1})
		for len(blocks) > 1 {
			a, b := blocks[len(blocks)-2], blocks[len(blocks)-1]
			if a.sum/float64(a.n) <= b.sum/float64(b.n) {
				break
			}
			blocks = append(blocks[:len(blocks)-2], block{a.sum + b.sum, a.n + b.n})
		}
	}
	out := make([]float64, 0, len(y))
	for _, b := range blocks {
		for range b.n {
			out = append(out, b.sum/float64(b.n))
		}
	}
	return out
}
