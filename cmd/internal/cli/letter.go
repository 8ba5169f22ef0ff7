package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/store"
	"marchpane/templates/letter"
)

func letterCommand(env *Env) *cobra.Command {
	return group("letter", "The wording of the letters to clients, built in or your own",
		`Every kind of letter has a wording in each language: the first line is the subject,
the rest the body, with facts in double braces. "letter show" prints it, an editor
changes it, "letter set" keeps it. Plain text and HTML both come from it.`,
		letterList(env), letterShow(env), letterSet(env), letterReset(env))
}

// wordingFlags say which wording is meant.
func wordingFlags(cmd *cobra.Command, language *string) {
	cmd.Flags().StringVar(language, "language", "en", "`LANGUAGE` of the letter: "+strings.Join(letter.Languages(), ", "))
}

// baseLanguage is the language of a tag without its region: letters have one
// wording for all who speak it.
func baseLanguage(tag string) string {
	base, _, _ := strings.Cut(tag, "-")
	return strings.ToLower(base)
}

// checkWording refuses a kind or language that there is none of.
func checkWording(kind, language string) error {
	if letter.Default("en", letter.Kind(kind)) == "" {
		var names []string
		for _, k := range letter.Kinds() {
			names = append(names, string(k))
		}
		return fmt.Errorf("there is no letter %.40q; there are %s", kind, strings.Join(names, ", "))
	}
	if !slices.Contains(letter.Languages(), language) {
		return fmt.Errorf("--language %.20s: letters are written in %s", language, strings.Join(letter.Languages(), ", "))
	}
	return nil
}

func letterList(env *Env) *cobra.Command {
	return &cobra.Command{
		Use: "list", Short: "Which letters there are, and which you word yourself", Args: cobra.NoArgs,
		RunE: env.withStore(func(cmd *cobra.Command, _ []string, s *store.Store) error {
			own, err := s.Wordings(cmd.Context())
			if err != nil {
				return err
			}
			if env.json {
				if own == nil {
					own = []store.OwnWording{}
				}
				return env.printJSON(own)
			}
			t := table{heads: []string{"letter", "your own wording in"}}
			for _, k := range letter.Kinds() {
				var languages []string
				for _, w := range own {
					if w.Kind == string(k) {
						languages = append(languages, w.Language)
					}
				}
				t.add(string(k), strings.Join(languages, ", "))
			}
			t.print(env)
			return nil
		}),
	}
}

func letterShow(env *Env) *cobra.Command {
	var language string
	cmd := &cobra.Command{
		Use: "show KIND", Short: "Print a wording, to read or to edit", Args: oneArgument,
		Example: `  marchpane letter show quote --language fr > quote-fr.txt`,
		RunE: func(cmd *cobra.Command, args []string) error {
			language = baseLanguage(language)
			if err := checkWording(args[0], language); err != nil {
				return err
			}
			s, err := env.open(cmd.Context())
			if err != nil {
				return err
			}
			defer s.Close()
			wording, own, err := s.Wording(cmd.Context(), language, args[0])
			if err != nil {
				return err
			}
			if !own {
				wording = letter.Default(language, letter.Kind(args[0]))
			}
			if env.json {
				return env.printJSON(map[string]any{"kind": args[0], "language": language, "own": own, "wording": wording})
			}
			_, err = fmt.Fprintln(env.Out, strings.TrimRight(wording, "\n"))
			return err
		},
	}
	wordingFlags(cmd, &language)
	return cmd
}

func letterSet(env *Env) *cobra.Command {
	var language, from string
	cmd := &cobra.Command{
		Use: "set KIND --from FILE", Short: "Keep your own wording", Args: oneArgument,
		Example: `  marchpane letter set quote --language fr --from quote-fr.txt`,
		RunE: func(cmd *cobra.Command, args []string) error {
			language = baseLanguage(language)
			if err := checkWording(args[0], language); err != nil {
				return err
			}
			text, err := env.readFile(from)
			if err != nil {
				return err
			}
			if strings.TrimSpace(string(text)) == "" {
				return errors.New("the wording is empty; to go back to the built-in one use: marchpane letter reset " + args[0])
			}
			if err := letter.Check(string(text)); err != nil {
				return err
			}
			return env.setWording(cmd, language, args[0], string(text), "Letters of the kind %s in %s now say what you wrote.\n")
		},
	}
	wordingFlags(cmd, &language)
	cmd.Flags().StringVar(&from, "from", "", "the `FILE` with the wording, or - for standard input")
	cmd.MarkFlagRequired("from")
	return cmd
}

func letterReset(env *Env) *cobra.Command {
	var language string
	cmd := &cobra.Command{
		Use: "reset KIND", Short: "Go back to the built-in wording", Args: oneArgument,
		Example: `  marchpane letter reset quote --language fr`,
		RunE: func(cmd *cobra.Command, args []string) error {
			language = baseLanguage(language)
			if err := checkWording(args[0], language); err != nil {
				return err
			}
			return env.setWording(cmd, language, args[0], "", "Letters of the kind %s in %s have the built-in wording again.\n")
		},
	}
	wordingFlags(cmd, &language)
	return cmd
}

func (e *Env) setWording(cmd *cobra.Command, language, kind, wording, done string) error {
	s, err := e.open(cmd.Context())
	if err != nil {
		return err
	}
	defer s.Close()
	if err := s.SetWording(cmd.Context(), language, kind, wording); err != nil {
		return err
	}
	if e.json {
		return e.printJSON(store.OwnWording{Language: language, Kind: kind})
	}
	fmt.Fprintf(e.Out, done, kind, language)
	return nil
}
