package support

// Role says what a facet is for on the finished prop. The zero Role is Show:
// what nothing is known about is treated as seen.
type Role uint8

// The roles of a facet.
const (
	Show   Role = iota // seen on the finished prop
	Joint              // meets another part
	Hidden             // neither
)

// NumRoles is the number of roles; ByRole has that length.
const NumRoles = 3

// ByRole is one figure for each role, indexed by Role.
type ByRole [NumRoles]float64

// Sum returns the figure over all roles.
func (b ByRole) Sum() float64 { return b[Show] + b[Joint] + b[Hidden] }

// String returns the role's name as it stands in files.
func (r Role) String() string { return [...]string{"show", "joint", "hidden"}[r] }

// roleOf returns the role of facet i, Show where none is given.
func roleOf(roles []Role, i int) Role {
	if roles == nil {
		return Show
	}
	return roles[i]
}
