package limbs

import "stampmill/exercises/passage"

// A crew is two limbs that share a list of tasks: the hands, or the feet. The
// two crews do not depend on each other.
type crew struct {
	limbs [2]Limb // right, left
	needs *[len(kit)][len(kit)]need
	// alone is what it costs besides haste that limb 0 or 1 plays a task; below
	// 0 where it cannot.
	alone func(t *task, limb int) int32
	// together is what it costs that limb 0 plays a and limb 1 b at one time.
	together func(a, b *task) int32
}

func hands() crew {
	return crew{[2]Limb{RightHand, LeftHand}, &handNeeds, handCost, crossing}
}

func feet(pedals Pedals) crew {
	c := crew{[2]Limb{RightFoot, LeftFoot}, &footNeeds, footCost, func(a, b *task) int32 { return 0 }}
	if pedals == One {
		c.alone = onePedalCost
	}
	return c
}

func handCost(t *task, limb int) int32 {
	cost := kit[t.voice].alone[limb]
	switch {
	case t.voice == passage.Snare && (t.run || t.graced()):
		cost = 0
	case t.run:
		cost /= 2
	}
	return cost + t.lag(limb)
}

// lag is what it costs that the left leads in a run.
func (t *task) lag(limb int) int32 {
	switch {
	case limb == 0 || !t.run:
		return 0
	case t.strength == onBeat:
		return leftBeat
	case t.strength == onEighth:
		return leftEighth
	}
	return 0
}

// crossing is the cost of crossed arms.
func crossing(right, left *task) int32 {
	if left.voice != passage.Snare && kit[right.voice].x < kit[left.voice].x {
		return crossed
	}
	return 0
}

func footCost(t *task, limb int) int32 {
	switch {
	case t.voice == passage.Hat && limb == 0:
		return -1
	case t.voice == passage.Hat || limb == 0:
		return 0
	}
	return leftKick + t.lag(limb)
}

// onePedalCost leaves the kick to the right foot; graces of another foot have
// no pedal.
func onePedalCost(t *task, limb int) int32 {
	if t.voice == passage.Kick && (limb == 1 || t.graced()) {
		return -1
	}
	return footCost(t, limb)
}
