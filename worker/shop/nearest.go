package shop

import "strings"

// nearest returns the known name most like the given one, "" when none comes
// close. Of equally near ones the first in the list wins.
func nearest(given string, known []string) string {
	const far = 1 << 30
	best, least := "", far
	for _, k := range known {
		d := edits(strings.ToLower(given), k)
		if strings.HasPrefix(k, strings.ToLower(given)+"_") {
			d = 1 // only the unit was left out
		}
		if d < least {
			best, least = k, d
		}
	}
	if least > max(2, len(given)/3) {
		return ""
	}
	return best
}

// edits returns how many letters must be put in, taken out, changed or
// swapped with their neighbour to turn a into b, no letter touched twice.
// Names far apart in length are not worth comparing: their difference in
// length is returned.
//
// Cost: O(len(a)·len(b)). Source: Damerau, "A technique for computer detection
// and correction of spelling errors", Communications of the ACM 7(3), 1964;
// by the recurrence of Wagner & Fischer, Journal of the ACM 21(1), 1974.
func edits(a, b string) int {
	if d := len(a) - len(b); d > len(b) {
		return d
	}
	cost := make([][]int, len(a)+1)
	for i := range cost {
		cost[i] = make([]int, len(b)+1)
		cost[i][0] = i
	}
	for j := range cost[0] {
		cost[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			change := cost[i-1][j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			cost[i][j] = min(change, cost[i-1][j]+1, cost[i][j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				cost[i][j] = min(cost[i][j], cost[i-2][j-2]+1)
			}
		}
	}
	return cost[len(a)][len(b)]
}
