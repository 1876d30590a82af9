package browser

// A control is what has the keyboard, as far as it decides who a key is for.
type control struct {
	tag      string // lower case: "input", "button", ...
	kind     string // of an input: "text", "range", ...
	role     string // as set by the page, "" for none
	editable bool   // a text field made of anything
	link     bool   // has an address
}

// takes reports whether a control works by a key, given as
// KeyboardEvent.code names it: what is typed goes into text, Space presses a
// button, arrows move a slider, and so on (common practice; the ARIA Authoring
// Practices Guide, W3C, lists the keys of each role).
func (c control) takes(code string) bool {
	switch {
	case c.editable || c.tag == "textarea":
		return typed(code)
	case c.tag == "select" || c.role == "listbox" || c.role == "combobox":
		return typed(code)
	case c.tag == "input":
		return c.inputTakes(code)
	case c.tag == "button" || c.tag == "summary" || pressable[c.role]:
		return code == "Space" || enter[code] || c.role == "tab" && moves[code]
	case c.tag == "a" && c.link:
		return enter[code]
	}
	return false
}

func (c control) inputTakes(code string) bool {
	switch c.kind {
	case "checkbox", "button", "submit", "reset", "file", "color":
		return code == "Space" || enter[code]
	case "radio":
		return code == "Space" || moves[code]
	case "range":
		return moves[code]
	}
	return typed(code)
}

// typed reports whether a key can write, delete, move or end in a text field:
// all but the function keys and Escape.
func typed(code string) bool {
	return code != "Escape" && !(len(code) > 1 && code[0] == 'F' && code[1] >= '1' && code[1] <= '9')
}

var pressable = set("button", "switch", "checkbox", "tab", "menuitem", "option", "radio")

var enter = set("Enter", "NumpadEnter")

var moves = set("ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "Home", "End", "PageUp", "PageDown")

func set(words ...string) map[string]bool {
	m := make(map[string]bool, len(words))
	for _, w := range words {
		m[w] = true
	}
	return m
}
