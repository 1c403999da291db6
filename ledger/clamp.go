package ledger

// Clamp is what presses a part on its locators.
type Clamp struct {
	Span
	ID       Text `key:"id" need:"yes" means:"short name, unique in the station" eg:"\"C1\""`
	Title    Text `key:"title" means:"what it is" eg:"\"strap clamp over R1\""`
	At       Pair `key:"at" space:"yes" means:"where it presses, in the part's axes: x, y and the height above the seat, lengths" eg:"[0.6, 0.0, 0.25]"`
	Pushes   Pair `key:"pushes" dim:"number" space:"yes" means:"direction in which it pushes on the part, plain numbers; without it, down on the seat" eg:"[0, 0, -1]"`
	Force    Size `key:"force" dim:"force" means:"force with which it presses, as set" eg:"\"1200 N\""`
	Friction Size `key:"friction" dim:"number" means:"coefficient of friction between part and clamp, if it is not that of the station" eg:"0.12"`
}

// CuttingLoad is a force of the cut on the part.
type CuttingLoad struct {
	Span
	ID     Text `key:"id" need:"yes" means:"short name, unique in the station" eg:"\"CUT1\""`
	Title  Text `key:"title" means:"what cut it is" eg:"\"profile, finish\""`
	At     Pair `key:"at" space:"yes" means:"where it acts, in the part's axes: x, y and the height above the seat, lengths" eg:"[2.8, 0.0, 0.125]"`
	Pushes Pair `key:"pushes" dim:"number" space:"yes" means:"direction of the force on the part, plain numbers; without it, every direction along the seat is tried" eg:"[0, 0, 1]"`
	Force  Size `key:"force" dim:"force" means:"the largest force of the cut" eg:"\"80 N\""`
	Torque Size `key:"torque" dim:"length·force" means:"moment about that direction, as of a drill" eg:"\"1.5 N*m\""`
}
