package book

import (
	"fmt"
	"strconv"
	"strings"

	"marchpane/pricing/record"
)

// Look is what the studio's papers look like.
type Look struct {
	Accent record.Maybe[Accent]  `json:"accent,omitzero"`
	Paper  record.Maybe[Paper]   `json:"paper,omitzero"` // by the locale
	Logo   record.Maybe[Picture] `json:"logo,omitzero"`
}

// Paper is a size of paper.
type Paper string

// The papers.
const (
	A4     Paper = "a4"
	Letter Paper = "letter"
)

// UnmarshalText reads "a4" or "letter".
func (p *Paper) UnmarshalText(text []byte) (err error) {
	*p, err = parseWord("paper", text, []Paper{A4, Letter})
	return err
}

// Accent is the colour of headings and sums, as #rrggbb in small letters.
type Accent string

// UnmarshalText reads # and six hexadecimal digits.
func (a *Accent) UnmarshalText(text []byte) error {
	s := strings.ToLower(string(text))
	if len(s) != 7 || s[0] != '#' || strings.Trim(s[1:], "0123456789abcdef") != "" {
		return fmt.Errorf("colour %.40q must be # and six digits from 0 to f, such as #6a3f52", text)
	}
	*a = Accent(s)
	return nil
}

// RGB returns the parts of red, green and blue, each from 0 to 255.
func (a Accent) RGB() (red, green, blue int) {
	n, err := strconv.ParseUint(strings.TrimPrefix(string(a), "#"), 16, 24)
	if err != nil {
		return 0, 0, 0 // no accent was stated
	}
	return int(n >> 16), int(n >> 8 & 0xff), int(n & 0xff)
}

// Check refuses an accent that text in it could not be read in on white paper,
// and names the nearest darker one that can.
func (a Accent) Check() error {
	red, green, blue := a.RGB()
	if legibleOnWhite(red, green, blue) {
		return nil
	}
	// The same hue, darkened step by step; black ends it.
	for step := 254; ; step-- {
		r, g, b := red*step/255, green*step/255, blue*step/255
		if legibleOnWhite(r, g, b) {
			return fmt.Errorf("%s is too light to read on white; the nearest that can be read is #%02x%02x%02x", a, r, g, b)
		}
	}
}

// legibleOnWhite reports whether text of a colour has a contrast of 4.5 : 1 or
// more against white: WCAG 2.2, success criterion 1.4.3, with its definitions
// of contrast ratio and relative luminance:
//
//	(1 + 0.05) ÷ (luminance + 0.05) ≥ 4.5
func legibleOnWhite(red, green, blue int) bool {
	const unit = 10_000 * 1_000_000 // of luminance: weights in 1/10,000, light in millionths
	luminance := 2126*light[red] + 7152*light[green] + 722*light[blue]
	return 105*unit*10 >= 45*(100*luminance+5*unit)
}

// light is the linear light of each sRGB value, in millionths: v ÷ 12.92 up to
// 0.04045, above that ((v + 0.055) ÷ 1.055)^2.4, with v = value ÷ 255.
var light = [256]int{
	0, 304, 607, 911, 1214, 1518, 1821, 2125, 2428, 2732, 3035, 3347, 3677, 4025, 4391, 4777,
	5182, 5605, 6049, 6512, 6995, 7499, 8023, 8568, 9134, 9721, 10330, 10960, 11612, 12286, 12983, 13702,
	14444, 15209, 15996, 16807, 17642, 18500, 19382, 20289, 21219, 22174, 23153, 24158, 25187, 26241, 27321, 28426,
	29557, 30713, 31896, 33105, 34340, 35601, 36889, 38204, 39546, 40915, 42311, 43735, 45186, 46665, 48172, 49707,
	51269, 52861, 54480, 56128, 57805, 59511, 61246, 63010, 64803, 66626, 68478, 70360, 72272, 74214, 76185, 78187,
	80220, 82283, 84376, 86500, 88656, 90842, 93059, 95307, 97587, 99899, 102242, 104616, 107023, 109462, 111932, 114435,
	116971, 119538, 122139, 124772, 127438, 130136, 132868, 135633, 138432, 141263, 144128, 147027, 149960, 152926, 155926, 158961,
	162029, 165132, 168269, 171441, 174647, 177888, 181164, 184475, 187821, 191202, 194618, 198069, 201556, 205079, 208637, 212231,
	215861, 219526, 223228, 226966, 230740, 234551, 238398, 242281, 246201, 250158, 254152, 258183, 262251, 266356, 270498, 274677,
	278894, 283149, 287441, 291771, 296138, 300544, 304987, 309469, 313989, 318547, 323143, 327778, 332452, 337164, 341914, 346704,
	351533, 356400, 361307, 366253, 371238, 376262, 381326, 386429, 391572, 396755, 401978, 407240, 412543, 417885, 423268, 428690,
	434154, 439657, 445201, 450786, 456411, 462077, 467784, 473531, 479320, 485150, 491021, 496933, 502886, 508881, 514918, 520996,
	527115, 533276, 539479, 545724, 552011, 558340, 564712, 571125, 577580, 584078, 590619, 597202, 603827, 610496, 617207, 623960,
	630757, 637597, 644480, 651406, 658375, 665387, 672443, 679542, 686685, 693872, 701102, 708376, 715694, 723055, 730461, 737910,
	745404, 752942, 760525, 768151, 775822, 783538, 791298, 799103, 806952, 814847, 822786, 830770, 838799, 846873, 854993, 863157,
	871367, 879622, 887923, 896269, 904661, 913099, 921582, 930111, 938686, 947307, 955973, 964686, 973445, 982251, 991102, 1000000,
}
