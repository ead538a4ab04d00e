package report

import (
	"fmt"

	"evenfall/internal/shoot"
	"evenfall/internal/words"
)

// kitCheckSchema names the contract of a checked kit file. It only ever grows.
const kitCheckSchema = "evenfall/kit-check/1"

// KitCheck is a kit file without faults.
type KitCheck struct {
	File     string
	Library  *shoot.Library // what it defines
	Standard *shoot.Library // the embedded library
}

// kitCheckDocument is a checked file for programs.
type kitCheckDocument struct {
	Schema string         `json:"schema" csv:"-"`
	File   string         `json:"file"`
	Items  []kitCheckItem `json:"items" csv:"rows"`
}

type kitCheckItem struct {
	Kind      string `json:"kind"`
	Name      string `json:"name"`
	Overrides bool   `json:"overrides_library"`
}

// Report says what the file holds, and what of the library it overrides.
func (k *KitCheck) Report() *Report {
	doc := &kitCheckDocument{Schema: kitCheckSchema, File: k.File, Items: []kitCheckItem{}}
	table := &Table{Columns: []Column{{Title: "kind"}, {Title: "name", Importance: 2},
		{Title: "in the library", Importance: 1}}}
	for _, kind := range shoot.KitKinds {
		for _, name := range k.Library.Names(kind) {
			item := kitCheckItem{string(kind), name, k.Standard.Has(kind, name)}
			doc.Items = append(doc.Items, item)
			note := "new"
			if item.Overrides {
				note = "overrides the library"
			}
			table.Add(item.Kind, name, note)
		}
	}
	verdict := "good, and empty"
	if n := len(doc.Items); n > 0 {
		verdict = fmt.Sprintf("good, %s", words.Count(n, "item"))
	}
	d := Document{Title: k.File + ": " + verdict}
	if len(doc.Items) > 0 {
		d.Add(table)
	}
	return &Report{Summary: words.Count(len(doc.Items), "item"), Document: d, Data: doc}
}
