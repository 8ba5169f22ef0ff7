package document

import "golang.org/x/text/language"

// InEnglish returns the locale called tag with English words around its figures:
// what a studio's own screens say is in English, and "1 250,00 €" and "13,5 %"
// are how a French one reads them. Days are "1 June 2027", or "June 1, 2027"
// where the month comes first.
func InEnglish(tag string) Locale {
	l := NewLocale(tag)
	if base, _ := language.Make(l.messages.Language).Base(); base.String() == "en" {
		return l
	}
	return keep("en "+tag, func() Locale {
		english := MessagesFor("en")
		english.Percent = l.messages.Percent
		l.messages = &english
		return l
	})
}
