package emblem

import (
	"fmt"
	"math"
	"strings"
)

// matrix turns a point: x' = a·x + c·y + e, y' = b·x + d·y + f.
type matrix struct{ a, b, c, d, e, f float64 }

var identity = matrix{a: 1, d: 1}

func (m matrix) apply(p Point) Point {
	return Point{m.a*p.X + m.c*p.Y + m.e, m.b*p.X + m.d*p.Y + m.f}
}

// then returns the matrix that applies inner first and m after it.
func (m matrix) then(inner matrix) matrix {
	return matrix{
		m.a*inner.a + m.c*inner.b, m.b*inner.a + m.d*inner.b,
		m.a*inner.c + m.c*inner.d, m.b*inner.c + m.d*inner.d,
		m.a*inner.e + m.c*inner.f + m.e, m.b*inner.e + m.d*inner.f + m.f,
	}
}

// scale is by how much m enlarges lengths on average: what a pen's width
// becomes.
func (m matrix) scale() float64 { return math.Sqrt(math.Abs(m.a*m.d - m.b*m.c)) }

// readTransform reads a transform attribute: functions that apply from the last
// to the first.
func readTransform(s string) (matrix, error) {
	m := identity
	rest := strings.TrimSpace(s)
	for rest != "" {
		name, after, found := strings.Cut(rest, "(")
		args, next, closed := strings.Cut(after, ")")
		if !found || !closed {
			return m, fmt.Errorf("the transform %.40q cannot be read", s)
		}
		n, err := readNumbers(args)
		if err != nil {
			return m, err
		}
		step, ok := transformStep(strings.TrimSpace(name), n)
		if !ok {
			return m, fmt.Errorf("the transform %.40q is not understood", rest)
		}
		m = m.then(step)
		rest = strings.TrimLeft(next, " \t\r\n,")
	}
	return m, nil
}

func transformStep(name string, n []float64) (matrix, bool) {
	at := func(i int, otherwise float64) float64 {
		if i < len(n) {
			return n[i]
		}
		return otherwise
	}
	switch {
	case name == "matrix" && len(n) == 6:
		return matrix{n[0], n[1], n[2], n[3], n[4], n[5]}, true
	case name == "translate" && (len(n) == 1 || len(n) == 2):
		return matrix{1, 0, 0, 1, n[0], at(1, 0)}, true
	case name == "scale" && (len(n) == 1 || len(n) == 2):
		return matrix{n[0], 0, 0, at(1, n[0]), 0, 0}, true
	case name == "rotate" && (len(n) == 1 || len(n) == 3):
		sin, cos := math.Sincos(n[0] * math.Pi / 180)
		x, y := at(1, 0), at(2, 0)
		return matrix{1, 0, 0, 1, x, y}.then(matrix{cos, sin, -sin, cos, 0, 0}).then(matrix{1, 0, 0, 1, -x, -y}), true
	case name == "skewX" && len(n) == 1:
		return matrix{1, 0, math.Tan(n[0] * math.Pi / 180), 1, 0, 0}, true
	case name == "skewY" && len(n) == 1:
		return matrix{1, math.Tan(n[0] * math.Pi / 180), 0, 1, 0, 0}, true
	}
	return identity, false
}
