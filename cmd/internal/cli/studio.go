package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
	"marchpane/store"
	"marchpane/templates/document"
	"marchpane/templates/emblem"
)

func studioCommand(env *Env) *cobra.Command {
	return group("studio", "What the studio's papers say and look like",
		`Who the studio is on its papers, in which colour, with which logo, on which paper
and on which terms. All of it is part of the book, under the key "studio". A quote
that has been issued keeps the look and the terms that it was issued with.`,
		studioShow(env), studioLook(env), studioTerms(env))
}

func studioShow(env *Env) *cobra.Command {
	return &cobra.Command{
		Use:     "show",
		Short:   "What the papers say and look like today",
		Long:    `Show what the papers of quotes made today would say of the studio and look like.`,
		Example: `  marchpane studio show`,
		Args:    cobra.NoArgs,
		RunE: env.withStore(func(cmd *cobra.Command, _ []string, s *store.Store) error {
			b, err := s.BookOf(cmd.Context(), nil, false)
			if err != nil {
				return err
			}
			return env.showStudio(b.Studio)
		}),
	}
}

func studioLook(env *Env) *cobra.Command {
	var accent, paper, logo string
	var noLogo bool
	cmd := &cobra.Command{
		Use:   "look",
		Short: "Choose the colour, the logo and the paper of the studio's papers",
		Long: `Choose how the studio's papers look. What is not named stays as it is.

The accent colours headings and sums, and hairlines and grounds are tints of it.
It has to be dark enough to read on white; a colour that is not is refused, with
the nearest that is.

The logo stands at the head of the first page, up to 72 mm wide and 24 mm high. It
may be an SVG, which prints sharpest, of at most 512 KB, or a PNG or JPEG, which is
made smaller where it is finer than print shows. Text in an SVG has to be turned
into paths first.`,
		Example: `  marchpane studio look --logo logo.svg --accent "#2f5d62"
  marchpane studio look --paper letter
  marchpane studio look --no-logo --accent none`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			changed := cmd.Flags().Changed
			if !changed("accent") && !changed("paper") && !changed("logo") && !noLogo {
				env.started = false
				return errors.New("studio look needs something to change: --accent, --paper, --logo or --no-logo; to see how it is, say: marchpane studio show")
			}
			return env.changeStudio(cmd.Context(), "studio look", func(s *book.Studio) error {
				look := s.Look.Value
				err := errors.Join(
					choose(&look.Accent, "accent", accent, changed("accent"), (*book.Accent).UnmarshalText, book.Accent.Check),
					choose(&look.Paper, "paper", strings.ToLower(paper), changed("paper"), (*book.Paper).UnmarshalText, nil),
					env.chooseLogo(&look, logo, changed("logo"), noLogo),
				)
				s.Look = record.Maybe[book.Look]{Value: look, Given: look != book.Look{}}
				return err
			}, env.printLook)
		},
	}
	cmd.Flags().StringVar(&accent, "accent", "", "`COLOUR` of headings and sums, such as #2f5d62; none for the program's own")
	cmd.Flags().StringVar(&paper, "paper", "", "`SIZE` of the paper: a4 or letter; none to go by the studio's locale")
	cmd.Flags().StringVar(&logo, "logo", "", "picture `FILE`: SVG, PNG or JPEG")
	cmd.Flags().BoolVar(&noLogo, "no-logo", false, "have the studio's name in place of the logo")
	cmd.MarkFlagsMutuallyExclusive("logo", "no-logo")
	return cmd
}

// choose sets a value that a flag names; "none" takes it away.
func choose[T any](into *record.Maybe[T], flag, text string, changed bool, parse func(*T, []byte) error, check func(T) error) error {
	if !changed {
		return nil
	}
	*into = record.Maybe[T]{}
	if text == "none" {
		return nil
	}
	var v T
	err := parse(&v, []byte(text))
	if err == nil && check != nil {
		err = check(v)
	}
	if err != nil {
		return fmt.Errorf("--%s: %w", flag, err)
	}
	*into = record.Some(v)
	return nil
}

// chooseLogo sets or takes away the logo. A picture that the papers could not
// show is refused here, with what is wrong with it.
func (e *Env) chooseLogo(look *book.Look, path string, changed, none bool) error {
	if none {
		look.Logo = record.Maybe[book.Picture]{}
		return nil
	}
	if !changed {
		return nil
	}
	data, err := e.readFile(path)
	if err != nil {
		return err
	}
	p, width, height, err := emblem.Reduce(data)
	if err != nil {
		return fmt.Errorf("%s %w", sourceName(path), err)
	}
	if width > 0 {
		fmt.Fprintf(e.Err, "marchpane: %s is finer than print shows; it was kept at %d × %d pixels\n", sourceName(path), width, height)
	}
	look.Logo = record.Some(p)
	return nil
}

// checkLogo refuses a book whose logo the papers could not draw. What is wrong
// with it in the eyes of the book, the book says along with its other faults.
func checkLogo(b book.Book) error {
	logo := b.Studio.Look.Value.Logo
	if !logo.Given || logo.Value.Check() != nil {
		return nil
	}
	var faults record.Faults
	if err := emblem.Check(logo.Value); err != nil {
		faults.Add("studio.look.logo", "%s", err)
	}
	return faults.Err()
}

func studioTerms(env *Env) *cobra.Command {
	var from string
	var none bool
	cmd := &cobra.Command{
		Use:   "terms",
		Short: "Show or change the terms that quotes carry",
		Long: `Show the terms that every quote carries, or with --from put those of a text file in
their place: one paragraph a line; empty lines are passed over. The papers number
them. FILE may be - for standard input. Have terms looked over by someone who knows
the law of your country: what a studio may ask for, above all on cancelling,
differs from one to the next.`,
		Example: `  marchpane studio terms
  marchpane studio terms --from terms.txt`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if !cmd.Flags().Changed("from") && !none {
				return env.showTerms(cmd.Context())
			}
			return env.changeStudio(cmd.Context(), "studio terms", func(s *book.Studio) error {
				s.Quote.Given, s.Quote.Value.Terms = true, nil
				if none {
					return nil
				}
				data, err := env.readFile(from)
				if err != nil {
					return err
				}
				if !utf8.Valid(data) {
					return fmt.Errorf("%s is not text in UTF-8; save it as plain text in that encoding", sourceName(from))
				}
				for line := range strings.Lines(string(bytes.TrimPrefix(data, []byte("\ufeff")))) {
					if line = strings.TrimSpace(line); line != "" {
						s.Quote.Value.Terms = append(s.Quote.Value.Terms, line)
					}
				}
				if len(s.Quote.Value.Terms) == 0 {
					return fmt.Errorf("%s holds no terms; to have none, say: marchpane studio terms --none", sourceName(from))
				}
				return nil
			}, env.printTerms)
		},
	}
	cmd.Flags().StringVar(&from, "from", "", "take the terms of this text `FILE`, one paragraph a line")
	cmd.Flags().BoolVar(&none, "none", false, "have no terms on quotes")
	cmd.MarkFlagsMutuallyExclusive("from", "none")
	return cmd
}

// changeStudio changes the studio of the book through an import like any other,
// and shows what it has become.
func (e *Env) changeStudio(ctx context.Context, source string, change func(*book.Studio) error, show func(studioPaper)) error {
	s, err := e.open(ctx)
	if err != nil {
		return err
	}
	defer s.Close()
	b, err := s.BookOf(ctx, nil, false)
	if err != nil {
		return err
	}
	if err := change(&b.Studio); err != nil {
		return err
	}
	// As a file, it is held to all that a file is held to.
	text, err := book.Encode(book.Book{Format: book.Format, Studio: b.Studio})
	if err != nil {
		return err
	}
	file, err := book.Read(text)
	if err != nil {
		return err
	}
	if _, err := s.Import(ctx, file, false, source, e.Now()); err != nil {
		return err
	}
	if e.json {
		return e.printJSON(studioPaperOf(file.Studio))
	}
	fmt.Fprintf(e.Out, "Changed for all papers made from now on; issued quotes stay as they are.\n\n")
	show(studioPaperOf(file.Studio))
	return nil
}

// studioPaper is the document of the studio commands.
type studioPaper struct {
	Name      string      `json:"name"`
	Address   string      `json:"address"`
	Email     string      `json:"email"`
	Phone     string      `json:"phone"`
	Locale    string      `json:"locale"`
	Currency  string      `json:"currency"`
	TaxLabel  string      `json:"tax_label"`
	TaxNumber string      `json:"tax_number"`
	Accent    *string     `json:"accent"` // null: the program's own
	Paper     string      `json:"paper"`
	Chosen    bool        `json:"paper_chosen"` // false: by the locale
	Logo      *logoOnFile `json:"logo"`
	Terms     []string    `json:"terms"`
}

type logoOnFile struct {
	Type        string `json:"type"`
	Bytes       int    `json:"bytes"`
	Fingerprint string `json:"fingerprint"`
}

func studioPaperOf(s book.Studio) studioPaper {
	look := s.Look.Value
	p := studioPaper{
		Name: s.Name, Address: s.Address.Value, Email: s.Email.Value, Phone: s.Phone.Value,
		Locale: s.Locale.Or("en"), Currency: s.Currency.Code(),
		Paper: string(document.NewLocale(s.Locale.Or("en")).Paper()), Chosen: look.Paper.Given, Terms: s.Quote.Value.Terms,
	}
	if s.Tax != nil {
		p.TaxLabel, p.TaxNumber = s.Tax.Label.Value, s.Tax.Number.Value
	}
	if look.Accent.Given {
		accent := string(look.Accent.Value)
		p.Accent = &accent
	}
	if look.Paper.Given {
		p.Paper = map[book.Paper]string{book.A4: string(document.A4), book.Letter: string(document.Letter)}[look.Paper.Value]
	}
	if logo := look.Logo.Value; look.Logo.Given {
		p.Logo = &logoOnFile{string(logo.Kind()), len(logo.Bytes()), logo.Fingerprint()}
	}
	if p.Terms == nil {
		p.Terms = []string{}
	}
	return p
}

func (e *Env) showStudio(s book.Studio) error {
	p := studioPaperOf(s)
	if e.json {
		return e.printJSON(p)
	}
	fmt.Fprintln(e.Out, e.bold(p.Name))
	for _, text := range []string{p.Address, p.Phone, p.Email, strings.TrimSpace(p.TaxLabel + " " + p.TaxNumber)} {
		for line := range strings.SplitSeq(text, "\n") {
			if line != "" {
				fmt.Fprintln(e.Out, line)
			}
		}
	}
	fmt.Fprintln(e.Out)
	e.printLook(p)
	fmt.Fprintln(e.Out)
	e.printTerms(p)
	return nil
}

func (e *Env) printLook(p studioPaper) {
	accent, paper, logo := "the program's own; choose one with --accent", p.Paper+", by the locale "+p.Locale, "none: the name stands in its place; set one with --logo"
	if p.Accent != nil {
		accent = *p.Accent
	}
	if p.Chosen {
		paper = p.Paper
	}
	if p.Logo != nil {
		logo = fmt.Sprintf("%s of %s, fingerprint %.12s…", logoKinds[p.Logo.Type], size(p.Logo.Bytes), p.Logo.Fingerprint)
	}
	fmt.Fprintf(e.Out, "accent  %s\nlogo    %s\npaper   %s\n", accent, logo, paper)
}

var logoKinds = map[string]string{string(book.PNG): "PNG", string(book.JPEG): "JPEG", string(book.SVG): "SVG drawing"}

// size writes how long a file is.
func size(bytes int) string {
	if bytes < 1024 {
		return plural(bytes, "byte", "bytes")
	}
	return fmt.Sprintf("%d KB", (bytes+512)/1024)
}

func (e *Env) showTerms(ctx context.Context) error {
	s, err := e.open(ctx)
	if err != nil {
		return err
	}
	defer s.Close()
	b, err := s.BookOf(ctx, nil, false)
	if err != nil {
		return err
	}
	if e.json {
		return e.printJSON(studioPaperOf(b.Studio))
	}
	e.printTerms(studioPaperOf(b.Studio))
	return nil
}

func (e *Env) printTerms(p studioPaper) {
	if len(p.Terms) == 0 {
		fmt.Fprintln(e.Out, "Quotes carry no terms. Put some on them with: marchpane studio terms --from FILE")
		return
	}
	fmt.Fprintln(e.Out, e.bold("terms"))
	for i, term := range p.Terms {
		fmt.Fprintf(e.Out, "%d. %s\n", i+1, term)
	}
}
