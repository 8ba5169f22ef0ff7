// Package schedule plans the kitchen's days: from the hand-over of each order
// backwards to the first bowl, with the hands and ovens that there are.
//
// # Vocabulary
//
//   - A [Moment] is a minute of a day by the clock on the wall. A plan knows no
//     time zone and no change of the clocks.
//   - A [Making] is a component made in one go, for one order or shared by several.
//   - An [Item] is one stretch of work or waiting.
//   - [Capacity] is the hands-on minutes a role has on a day, the minutes an
//     appliance may run on it, and the hours in which the studio works.
//
// # From the hand-over backwards
//
// Everything an order takes is done before its hand-over, which is the opening
// of the studio on the day of the event where the order says nothing else. The
// tasks of the whole cake come last, in the order of the book; before them
// those of each tier; before those the components. An extra that travels (a
// task or price by the km) ends at the hand-over, with the cakes done before
// it; any other is done beside the cakes. A component is at hand when the first
// task of the tier, cake or extra that takes it begins.
//
// Each piece of work goes to the latest moment before what needs it at which
// hands are free; where a day is full it moves earlier, as far as keeping
// allows. A wait passes at night and on closed days too. Work of more than an
// hour may be spread over several stretches. Minutes are rounded up, item by
// item.
//
// # Keeping
//
// The clock of a component starts when its own tasks and waits would have been
// done without a pause, so that a pause between them counts as keeping:
//
//	kept from = start of its first task + its minutes + its waits
//	good until = kept from + keeps
//
// It runs until the hand-over of the last cake that takes it. A component that
// goes into another one with a keeping time of its own has to last until the
// clock of that one starts. A buttercream kept from Monday 10:00 with keeps of
// 7 day may be handed over until the next Monday at 10:00.
//
// For a component without a keeping time the plan assumes nothing: it is never
// shared between hand-overs, moved at most [Ahead] days earlier than it is
// needed, and listed in [Plan.Unstated] for somebody to decide.
//
// Keeping times are the studio's own. They count only for food that is held as
// its recipe says; labels, local food codes and the advice of those licensed to
// give it go before any plan. What happens after the hand-over is not planned.
//
// # Batches
//
// Orders share a making where every one of them is served within the keeping
// time and it saves a batch; else each gets its own, fresher. Within a making
// the formulas of package pricing hold:
//
//	made = max(sum of needs, batch_min), batches = made ÷ batch_max rounded up
//
// Batches of a making are of one size. A making that finds no room on a day is
// parted by whole batches.
//
// # Appliances
//
// The book does not say when an appliance runs. It is booked on the day on
// which the first task of its component, tier or cake ends, since what was
// mixed is baked. A component without any wait is not ready before its longest
// run of an appliance has passed; one with limited appliances not before they
// have run for all its batches, one after the other.
//
// # Starting in time
//
// A plan puts an order's first work where batches and other orders leave room.
// The latest safe start ([Deadline.StartBy]) is that of the order with the
// studio to itself, its hours and keeping times as they are; whoever begins later
// is late by the same rules.
//
// # Clashes
//
// Precedence is never broken. Keeping is broken only where the design stands
// longer than a component of it keeps, whatever the plan, or where one that
// states no keeping time stands between; and the plan says so. Everything else
// gives way: where no day within the keeping time has room, work is put on the day
// with most room left all the same, and the plan says so ([Clash]): a day over
// its capacity by so many minutes, work on a closed day or out of hours, more
// hands at once than there are, a component past its keeping, a start that has
// gone by.
//
// # Exclusions
//
// The plan finds no optimum: it goes through the work once, the latest
// hand-over first. Changing over, cleaning and space in the cold room are not
// planned. The drive back counts before the hand-over, as costing counts it.
package schedule
