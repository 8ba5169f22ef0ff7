// Package shape measures moulds and tiers: how large they are, how much they
// hold, and into how many portions they are cut.
//
// # Outlines
//
// An [Outline] is the plan of a mould or tier, seen from above. Its area A
// (cm2) and perimeter P (cm):
//
//	round      πd²/4               πd
//	square     s²                  4s
//	rectangle  l·w                 2(l + w)
//	hexagon    (3√3/2)s²           6s
//	heart      s² + πs²/4          2s + πs
//	measured   as given            as given
//
// A heart is a square of side s standing on a corner, with half a circle on
// each of its two upper sides. A measured outline is for a mould of any other
// form, whose owner has taken its area and perimeter.
//
// # Solids
//
// A [Solid] has a height H as well: volume A·H, side P·H, surface A + P·H. A
// sheet rolled to cover it with an overhang o is larger all round by x = H + o,
// and is rounded at the corners: its area is A + P·x + πx².
//
// # Portions
//
// Finger portions are w wide and d deep, the height of the cake. A square or
// rectangle takes the better of the two ways to lay a grid. A round is cut in
// rings of depth d from the rim inward, each into ⌊2π(r − d/2)/w⌋ portions; the
// core that is left yields ⌊πr²/(w·d)⌋. Other outlines yield ⌊A/(w·d)⌋. A
// 225 mm round at 25 × 50 mm: rings of 21 and 9, and a core of radius 12.5 mm
// with none, 30 in all.
package shape
