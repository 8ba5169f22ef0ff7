// Package enquiry holds who asks a studio for a cake, and what they ask for,
// before anything is priced.
//
// # Vocabulary
//
// A [Client] is a person or firm that the studio deals with: name, ways to
// reach them, language, what they must not eat. An [Enquiry] is one occasion
// that a client asks about: its day, place and guests, a budget, wishes, a
// tasting. It is open until a quote answers it or the studio closes it, and
// becomes a quote by [Enquiry.Request], to which only the cakes are added.
//
// # Search
//
// [Fold] brings text to the form in which it is searched: lower case, letters
// without accents, so that "simkova" finds Šimková. [Client.Folded] is all of
// a client that a search looks at; [Terms] are the words that must all be in
// it. A telephone number is found with or without the spaces it was typed
// with.
//
// # Doubles
//
// [Client.Traits] are what a client is recognised by. Two records look like one
// client where they share one: the same email address, the same telephone
// number, the same name in whatever order its words stand; or where their names
// are one slip of the keys apart, [NearNames]. Such a pair is a hint and not a
// proof; two people may share a telephone. The store keeps who looks like whom.
//
// # Care
//
// Dietary needs are noted in the client's own words and passed on to whoever
// bakes. They are no allergen analysis: that comes from the labels of what
// goes into the cake. They are also health data, which the law guards more
// strictly than a telephone number; note no more than the order needs.
package enquiry
