package document

import (
	"slices"
	"strings"

	"marchpane/pricing/book"
	"marchpane/pricing/day"
	"marchpane/pricing/schedule"
)

// ProductionLane is what one role has to do on a day, in few words: what hangs
// on the wall. Who is "" where the book names nobody.
type ProductionLane struct {
	Who  string
	Load ProductionLoad
	Jobs []ProductionJob
}

// ProductionJob is all that a role does on a day for one component, tier, cake
// or extra.
type ProductionJob struct {
	Time     string   // when it begins
	What     string   // the component, cake or extra
	Tier     string   // of the cake; "" for none
	How      string   // batches, or tasks
	Minutes  string   // hands-on
	Cautions []string // in a word or two each
	Orders   string
}

// lanes gathers the work of a day by role. Waits are not shown: nobody has to
// stand there for them.
func (w productionWriter) lanes(p schedule.Plan, d day.Date) []ProductionLane {
	var lanes []ProductionLane
	for _, who := range w.roles {
		lane := ProductionLane{Who: who.Name}
		for _, l := range p.Loads {
			if l.Day == d && l.Of == who && !l.Appliance {
				lane.Load = w.load(l)
				lane.Load.Text = strings.TrimPrefix(lane.Load.Text, who.Name+": ") // the lane names it
			}
		}
		var jobs []job
		for _, it := range p.Items {
			if it.Start.Day == d && it.Role == who && !it.Wait {
				jobs = gather(jobs, it)
			}
		}
		for _, j := range jobs {
			lane.Jobs = append(lane.Jobs, w.job(j))
		}
		if len(lane.Jobs) > 0 {
			lanes = append(lanes, lane)
		}
	}
	return lanes
}

// rolesOf lists who works in a plan: those with most to do first, and last
// nobody, for work without hands.
func rolesOf(p schedule.Plan) []schedule.Named {
	sums := map[schedule.Named]int{}
	var roles []schedule.Named
	for _, it := range p.Items {
		if !it.Wait && !slices.Contains(roles, it.Role) {
			roles = append(roles, it.Role)
		}
		sums[it.Role] += it.Minutes
	}
	slices.SortStableFunc(roles, func(a, b schedule.Named) int { return sums[b] - sums[a] })
	return roles
}

// job is items of one role and day that belong together.
type job struct {
	first   schedule.Item
	tasks   []string
	minutes int
}

func gather(jobs []job, it schedule.Item) []job {
	same := func(j job) bool {
		f := j.first
		return f.Part == it.Part && f.Of == it.Of && f.TierNumber == it.TierNumber && f.Making == it.Making && slices.Equal(f.Orders, it.Orders)
	}
	i := slices.IndexFunc(jobs, same)
	if i < 0 {
		jobs = append(jobs, job{first: it})
		i = len(jobs) - 1
	}
	jobs[i].minutes += it.Minutes
	if it.Task != "" && !slices.Contains(jobs[i].tasks, it.Task) {
		jobs[i].tasks = append(jobs[i].tasks, it.Task)
	}
	return jobs
}

func (w productionWriter) job(j job) ProductionJob {
	it := j.first
	out := ProductionJob{Time: clock(it.Start), What: it.Of.Name, Cautions: w.cautions[it.Making], Orders: strings.Join(it.Orders, ", ")}
	if it.Copies > 1 {
		out.What = w.filled(w.m.Copies, out.What, it.Copies)
	}
	if it.Part == schedule.Tier {
		out.Tier = it.Tier
	}
	if j.minutes > 0 {
		out.Minutes = w.time(j.minutes)
	}
	var how []string
	if m, ok := w.makings[it.Making]; ok && m.Start == it.Start {
		how = append(how, w.batches(m.Batches, m.PerBatch(), m.Unit))
	} else {
		how = j.tasks
	}
	out.How = strings.Join(how, "; ")
	return out
}

// paperOf is the paper that a studio wants, or that of its locale.
func paperOf(studio book.Studio, locale Locale) Paper {
	switch studio.Look.Value.Paper.Value {
	case book.A4:
		return A4
	case book.Letter:
		return Letter
	}
	return locale.Paper()
}

// lookOf is the studio's accent. Papers for the kitchen carry no logo.
func lookOf(studio book.Studio) Look {
	return Look{Accent: string(studio.Look.Value.Accent.Value)}
}
