package letter_test

import (
	"time"

	"marchpane/templates/letter"
)

// sample is a letter with all that a letter can have, names beyond ASCII among
// it. People and studio are invented.
func sample(tag string, kind letter.Kind) letter.Letter {
	return letter.Letter{
		Envelope: letter.Envelope{
			From:     letter.Address{Name: "Pâtisserie “Drei Türme”, Zoë", Address: "hello@drei-tuerme.example"},
			To:       letter.Address{Name: "Łucja Øvergård", Address: "lucja.o+cake@post.example"},
			Date:     time.Date(2027, 2, 3, 16, 5, 9, 0, time.FixedZone("", 3600)),
			Language: tag,
		},
		Kind:   kind,
		Facts:  facts(),
		Accent: "#7a3b4e",
		Attachments: []letter.Attachment{
			{Name: "Q-2027-0012-B.pdf", Data: []byte("%PDF-1.4\n\x00\xff not really\r\n")},
			{Name: "Gâteau d’été.ics", Type: "text/calendar; charset=utf-8; method=PUBLISH", Data: []byte("BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n")},
		},
	}
}

func facts() letter.Facts {
	return letter.Facts{
		Studio: "Drei Türme", Signer: "Zoë Ångström", Contact: []string{"Lindengasse 4", "https://drei-tuerme.example/kontakt"}, Client: "Łucja Øvergård",
		QuoteName: "Q-2027-0012 B", EventDate: "EVENTDAY", Venue: "Orangerie & Garden <north>",
		Options: []letter.Option{{Name: "Three tiers, round", Total: "1.240,00 €"}, {Name: "Two tiers", Total: "980,00 €"}}, Total: "TOTAL", Previous: "PREVIOUS",
		Changes: []string{"90 guests instead of 80", "vanilla instead of lemon"}, ValidUntil: "VALIDUNTIL", Deposit: "DEPOSIT", DepositDue: "DEPOSITDUE",
		Receipt: "RECEIPT-7", Received: "RECEIVED", ReceivedOn: "RECEIVEDON", Balance: "BALANCE", BalanceDue: "BALANCEDUE",
		Due: "DUESUM", DueFor: "DUEFOR", DueOn: "DUEDAY", PayTo: []string{"IBAN-LINE", "REFERENCE-LINE"},
		Cancelled: "CANCELDAY", Kept: "KEPT", Refund: "REFUND", Note: "NOTE, first part.\n\nNote, second part.",
	}
}
