package browser

import "testing"

func TestControlTakes(t *testing.T) {
	text := control{tag: "input", kind: "text"}
	number := control{tag: "input", kind: "number"}
	slider := control{tag: "input", kind: "range"}
	check := control{tag: "input", kind: "checkbox"}
	radio := control{tag: "input", kind: "radio"}
	button := control{tag: "button"}
	switcher := control{tag: "g", role: "button"}
	link := control{tag: "a", link: true}
	for _, c := range []struct {
		control control
		yes, no []string
	}{
		{text, []string{"Space", "KeyA", "Enter", "ArrowLeft", "Backspace"}, []string{"Escape", "F5"}},
		{number, []string{"Digit1", "ArrowUp"}, []string{"Escape"}},
		{control{tag: "p", editable: true}, []string{"Space", "KeyF"}, []string{"Escape", "F12"}},
		{control{tag: "textarea"}, []string{"Enter"}, []string{"Escape"}},
		{control{tag: "select"}, []string{"KeyK", "ArrowDown", "Space"}, []string{"Escape"}},
		{slider, []string{"ArrowLeft", "Home", "PageUp"}, []string{"Space", "KeyA", "Enter"}},
		{check, []string{"Space"}, []string{"KeyA", "ArrowLeft"}},
		{radio, []string{"Space", "ArrowDown"}, []string{"KeyA"}},
		{button, []string{"Space", "Enter", "NumpadEnter"}, []string{"KeyA", "ArrowLeft", "Escape"}},
		{switcher, []string{"Space", "Enter"}, []string{"KeyA"}},
		{control{tag: "div", role: "tab"}, []string{"ArrowRight", "Space"}, []string{"KeyA"}},
		{link, []string{"Enter"}, []string{"Space", "KeyA"}},
		{control{tag: "a"}, nil, []string{"Enter"}},
		{control{tag: "body"}, nil, []string{"Space", "Enter", "KeyA"}},
	} {
		for _, code := range c.yes {
			if !c.control.takes(code) {
				t.Errorf("%+v does not take %s", c.control, code)
			}
		}
		for _, code := range c.no {
			if c.control.takes(code) {
				t.Errorf("%+v takes %s", c.control, code)
			}
		}
	}
}
