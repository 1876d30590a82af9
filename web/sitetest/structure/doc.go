// Package structure holds the rules about the whole source tree as tests: who
// may import whom, that every package explains itself, and what may lie where.
// Each failure says the reason for its rule. To change a rule, change it here,
// with its reason, in the commit that needs the change.
package structure
