package grade_test

import (
	"fmt"

	"stampmill/exercises/drill"
	"stampmill/exercises/grade"
)

// A take is graded against the passage of its step at the written tempo.
func ExampleGrade() {
	climb, problems := drill.Parse("skip.drill", []byte(`title: Skip
tempo: 120
metre: 4/4

step: Up
says: The kick on every beat.
kick | x x x x |
`), nil)
	if len(problems) > 0 {
		fmt.Println(problems)
		return
	}
	take, err := grade.ReadTake([]byte(`{"stampmill":1,"exercise":"skip","step":1,"tempo":120,"passes":2,"part":["kick"],
		"input":"keyboard","latency_ms":30,"taps":[{"seconds":0.02},{"seconds":0.518},{"seconds":1.022},{"seconds":1.52},
		{"seconds":2.019},{"seconds":2.521},{"seconds":3.018},{"seconds":3.522}]}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	verdict, err := grade.Grade(climb.Steps[0].Passage, take, grade.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(verdict.Sentences[0], verdict.Next)
	fmt.Printf("%.1f ms, 95 %% between %.1f and %.1f, of %d strokes\n", verdict.Leaning.Value, verdict.Leaning.Low, verdict.Leaning.High, verdict.Leaning.N)
	fmt.Println(verdict.Clock.N, "intervals:", verdict.Clock.Why())
	// Output:
	// You lean 10 ms early on the kick. The next step.
	// -10.0 ms, 95 % between -10.8 and -9.2, of 8 strokes
	// 0 intervals: not enough strokes
}
