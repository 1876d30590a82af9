package grade

import (
	"encoding/json"
	"strconv"

	"stampmill/exercises/passage"
)

// WriteTake returns the canonical JSON of a take: fields in one order, a tap
// a line, a newline at the end. [ReadTake] gives back what was written; a take
// that it would refuse is an error.
func WriteTake(t Take) ([]byte, error) {
	data := appendTake(nil, t)
	if _, err := ReadTake(data); err != nil {
		return nil, err
	}
	return data, nil
}

// MarshalJSON writes what [WriteTake] writes.
func (t Take) MarshalJSON() ([]byte, error) { return WriteTake(t) }

// UnmarshalJSON reads what [ReadTake] reads.
func (t *Take) UnmarshalJSON(data []byte) error {
	read, err := ReadTake(data)
	if err == nil {
		*t = read
	}
	return err
}

func appendTake(b []byte, t Take) []byte {
	b = append(b, `{"stampmill":`...)
	b = strconv.AppendInt(b, Version, 10)
	b = appendText(append(b, `,"exercise":`...), t.Exercise)
	b = strconv.AppendInt(append(b, `,"step":`...), int64(t.Step), 10)
	b = appendNumber(append(b, `,"tempo":`...), t.Tempo)
	b = strconv.AppendInt(append(b, `,"passes":`...), int64(t.Passes), 10)
	b = appendPart(append(b, `,"part":`...), t.Part)
	b = appendText(append(b, `,"input":`...), t.Input)
	b = appendNumber(append(b, `,"latency_ms":`...), t.LatencyMS)
	if t.Bars != [2]int{} {
		b = strconv.AppendInt(append(b, `,"bars":[`...), int64(t.Bars[0]), 10)
		b = append(strconv.AppendInt(append(b, ','), int64(t.Bars[1]), 10), ']')
	}
	b = appendOptional(b, `,"stopped":`, t.Stopped)
	b = append(b, `,"taps":[`...)
	for i, tap := range t.Taps {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendTap(append(b, '\n'), tap)
	}
	if len(t.Taps) > 0 {
		b = append(b, '\n')
	}
	return append(b, "]}\n"...)
}

func appendTap(b []byte, t Tap) []byte {
	b = append(b, '{')
	if t.Voice.Valid() {
		b = append(appendText(append(b, `"voice":`...), t.Voice.String()), ',')
	}
	b = appendNumber(append(b, `"seconds":`...), t.Seconds)
	b = appendOptional(b, `,"strength":`, t.Strength)
	b = appendOptional(b, `,"release":`, t.Release)
	return append(b, '}')
}

func appendPart(b []byte, part []passage.Voice) []byte {
	b = append(b, '[')
	for i, v := range part {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendText(b, v.String())
	}
	return append(b, ']')
}

func appendOptional(b []byte, name string, o Optional) []byte {
	if !o.OK {
		return b
	}
	return appendNumber(append(b, name...), o.Value)
}

// appendNumber writes the shortest decimal that reads back as x. What is not
// finite comes out as no JSON, which WriteTake refuses.
func appendNumber(b []byte, x float64) []byte { return strconv.AppendFloat(b, x, 'g', -1, 64) }

func appendText(b []byte, s string) []byte {
	quoted, _ := json.Marshal(s) // a string always can be
	return append(b, quoted...)
}
