package support

import "math"

// Corners and slopes are counted in classes, so that one measure of a part
// serves printers of any speed, number of walls and number of skins. A class
// is a factor of 1.4 or 1.25 wide; what stands for it is off by half of that
// at most.

// NumCorners is the number of classes of corners, NumSlopes of slopes.
const (
	NumCorners = 12
	NumSlopes  = 16
)

// The sharpest turn of the mildest corners, in radians (4°), the steepest run
// of the steepest slopes, in mm for each mm of rise, and what each class has
// more than the one before.
const (
	mildCorner  = 4 * math.Pi / 180
	cornerRatio = 1.42
	steepRun    = 0.6
	slopeRatio  = 1.25
)

// CornerTurn returns the turn that stands for a class of corners, in radians.
func CornerTurn(class int) float64 {
	return mildCorner * math.Pow(cornerRatio, float64(class)-0.5)
}

// cornerClass returns the class of a turn.
func cornerClass(turn float64) int { return classOf(turn/mildCorner, cornerRatio, NumCorners) }

// SlopeRun returns the run, in mm for each mm of rise, that stands for a class
// of slopes; infinite for the last, which is taken for level.
func SlopeRun(class int) float64 {
	if class == NumSlopes-1 {
		return math.Inf(1)
	}
	return steepRun * math.Pow(slopeRatio, float64(class)-0.5)
}

func slopeClass(run float64) int { return classOf(run/steepRun, slopeRatio, NumSlopes) }

// classOf returns 0 up to 1, then one more for each ratio, n − 1 at most.
func classOf(x, ratio float64, n int) int {
	class := 0
	for end := 1.0; class < n-1 && x > end; class++ {
		end *= ratio
	}
	return class
}
