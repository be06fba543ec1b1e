package reports

import (
	"encoding/json"
	"io"

	"tenoff/bom"
	"tenoff/cost/waysout"
)

// WaysOutSchema names the shape of the JSON that WriteWaysOutJSON writes.
const WaysOutSchema = "tenoff-ways-out-1"

type jsonShortages struct {
	Schema   string         `json:"schema"`
	Currency string         `json:"currency"`
	Short    []jsonShortage `json:"short"`
	Together []jsonJoint    `json:"together"`
	Warnings []string       `json:"warnings"`
}

// jsonShortage is a part that one batch is short of. What is allowed and enough stands
// among the ways, the best first.
type jsonShortage struct {
	Part string `json:"part"`
	jsonBatchID
	Left       json.RawMessage `json:"left"`
	Required   json.RawMessage `json:"required"`
	InStock    jsonState       `json:"in_stock"` // the run with the part in stock
	Ways       []jsonWay       `json:"ways"`
	NotAllowed []string        `json:"not_allowed"`
	NotEnough  []string        `json:"not_enough"`
	Near       []jsonNear      `json:"to_think_about"`
}

type jsonNear struct {
	Part string `json:"part"`
	How  string `json:"how"`
}

// jsonState is what matters of a batch when ways are compared. The day is null where it is
// not known.
type jsonState struct {
	Built    int    `json:"built"`
	Unit     string `json:"unit"` // consumed per unit
	Cash     string `json:"cash"`
	Weight   string `json:"landed_cash_and_own_work"`
	Day      *int   `json:"ready_day"`
	Earliest int    `json:"no_earlier_than"`
	Date     string `json:"date,omitempty"` // of ready_day
}

// jsonWay is a way out: elsewhere, substitute, mix, wait or fewer.
type jsonWay struct {
	Part       string     `json:"part,omitempty"` // among several that are decided together
	Way        string     `json:"way"`
	Substitute string     `json:"substitute,omitempty"`
	Rule       string     `json:"rule,omitempty"` // by which a passive stands in that the price sheet does not list
	Note       string     `json:"note,omitempty"`
	From       string     `json:"land_pattern,omitempty"` // where that of the substitute is another
	To         string     `json:"substitute_land_pattern,omitempty"`
	Sellers    []string   `json:"sellers"`
	Expected   []jsonMore `json:"expected,omitempty"` // what is waited for
	jsonState
}

// jsonMore is what comes in of an offer, in order units.
type jsonMore struct {
	Supplier  string `json:"supplier"`
	OrderCode string `json:"order_code"`
	More      int64  `json:"more"`
	On        string `json:"on"`
}

// jsonJoint is what is chosen for several parts of a batch together, and what another way
// for one of them makes of the run. Nothing is chosen where some are stuck.
type jsonJoint struct {
	Batch  int        `json:"batch"`
	Of     string     `json:"of_run,omitempty"` // where plans have as many units in all
	Parts  []string   `json:"parts"`
	Stuck  []string   `json:"no_way_out"`
	Every  bool       `json:"every_choice_tried"`
	Chosen []jsonWay  `json:"chosen"`
	Run    *jsonState `json:"run"` // null where nothing is chosen
	Others []jsonWay  `json:"others"`
}

// WriteWaysOutJSON writes the ways out where parts run short, for programs. Money is a
// string in home currency, of a unit with four decimals; what is not known is "?". The ways
// of a part that is looked at alone hold the state of the run with all else in stock; those
// that are chosen together hold that of the part alone, and others that of the whole choice
// with that one way changed.
func WriteWaysOutJSON(w io.Writer, s waysout.Shortages, currency bom.Currency, today bom.Date, warnings []string) error {
	j := waysJSON{money(currency), &wayWriter{currency: currency, today: today}}
	out := jsonShortages{Schema: WaysOutSchema, Currency: currency.Code, Short: bom.Each(s.Parts, j.shortage), Together: bom.Each(s.Together, j.joint),
		Warnings: append([]string{}, warnings...)}
	return writeJSON(w, out)
}

// IsWaysOutJSON tells whether the bytes are ways out that WriteWaysOutJSON wrote, of any
// schema number.
func IsWaysOutJSON(data []byte) bool { return hasSchema(data, "tenoff-ways-out-") }

// waysJSON writes ways for programs.
type waysJSON struct {
	money
	words *wayWriter
}

func (j waysJSON) shortage(p *waysout.Shortage) jsonShortage {
	return jsonShortage{
		Part: p.Part, jsonBatchID: jsonIDOf(p.Size, p.Batch), Left: json.RawMessage(p.Left.String()), Required: json.RawMessage(p.Required.String()), InStock: j.state(p.Before),
		Ways: bom.Each(p.Ways, func(w *waysout.Way) jsonWay { return j.way(w, "") }), NotEnough: append([]string{}, p.Lacking...),
		NotAllowed: bom.Each(p.Barred, func(s **bom.Substitute) string { return (*s).Substitute }), Near: bom.Each(p.Near, func(n *waysout.NearMiss) jsonNear { return jsonNear(*n) }),
	}
}

func (j waysJSON) joint(c *waysout.Joint) jsonJoint {
	out := jsonJoint{Batch: c.Size, Of: jsonIDOf(c.Size, c.Batch).Run, Parts: c.Parts, Stuck: append([]string{}, c.Stuck...), Every: c.Every, Chosen: make([]jsonWay, len(c.Ways)),
		Others: bom.Each(c.Changes, func(x *waysout.Changed) jsonWay { return j.way(&x.Way, x.Part) })}
	for i := range c.Ways {
		out.Chosen[i] = j.way(&c.Ways[i], c.Parts[i])
	}
	if len(c.Stuck) == 0 {
		run := j.state(c.State)
		out.Run = &run
	}
	return out
}

func (j waysJSON) way(w *waysout.Way, part string) jsonWay {
	out := jsonWay{Part: part, Way: wayKinds[w.Kind], Substitute: w.Substitute, Rule: w.Rule, From: w.From, To: w.To, Sellers: append([]string{}, w.Sellers...), jsonState: j.state(w.State)}
	if r := w.Row; r != nil {
		out.Note = joinNotes(j.words.extras(r), r.Note)
	}
	for _, o := range w.Expected {
		out.Expected = append(out.Expected, jsonMore{o.Supplier, o.Code, o.More, o.MoreOn.String()})
	}
	return out
}

func (j waysJSON) state(s waysout.State) jsonState {
	out := jsonState{Built: s.Size, Unit: j.perUnit(s.Unit, s.Unknown), Cash: j.amount(s.Cash, s.Unknown), Weight: j.amount(s.Weight, s.Unknown), Earliest: s.Day}
	if !s.DayOpen {
		day := s.Day
		out.Day, out.Date = &day, j.words.today.Plus(day).String()
	}
	return out
}
