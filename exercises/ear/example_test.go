package ear_test

import (
	"fmt"

	"stampmill/exercises"
	"stampmill/exercises/ear"
)

// A trial is made from a step, its sounds are played, and the answer is marked.
func Example() {
	climb, _ := exercises.Open("headframe")
	step := climb.Steps[3]
	source := ear.Source{Climb: "headframe", Title: step.Title, Passage: step.Passage}

	task, _ := ear.Named("ahead")
	trial, err := task.Trial(source, 20, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(trial.Asks[0].Question)
	for i, c := range trial.Asks[0].Choices {
		fmt.Println(i+1, c.Words)
	}
	result, _ := trial.Mark(ear.Answer{Choice: []int{0}})
	fmt.Println(result.Right, "-", result.Said)
	// Output:
	// In B, is the china ahead of the others or behind?
	// 1 Ahead
	// 2 Behind
	// true - The china is 20 ms ahead of the others.
}
