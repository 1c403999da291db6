package seam_test

import (
	"fmt"

	"tenths/calc/seam"
)

// Steps in mm at six points of an outline of 80 by 38, one assembly.
func ExampleFit() {
	points := []seam.Point{
		{X: -10, Y: 0, NX: -1}, {X: 5, Y: 19, NY: 1}, {X: 55, Y: 19, NY: 1},
		{X: 70, Y: 0, NX: 1}, {X: 55, Y: -19, NY: -1}, {X: 5, Y: -19, NY: -1},
	}
	f, err := seam.Fit(points, [][]float64{
		{-0.016, -0.029, 0.011, 0.019, -0.008, 0.031},
		{-0.012, -0.033, 0.009, 0.022, -0.004, 0.034},
	}, seam.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("x %.3f, y %.3f, turn over 60 mm %.3f, size %.3f\n", f.Pattern.DX, f.Pattern.DY, 60*f.Pattern.Turn, f.Pattern.Size)
	fmt.Printf("95 %%: x ±%.3f, y ±%.3f\n", f.Half.DX, f.Half.DY)
	// Output:
	// x 0.017, y -0.036, turn over 60 mm 0.048, size 0.002
	// 95 %: x ±0.003, y ±0.023
}

// Two plates cut on one station, one of them face down: the sideways error of
// the first pin shows twice.
func ExampleForward() {
	up := seam.Station{Name: "up",
		First:  seam.Pin{Error: [2]float64{0, 0.01}, Clearance: 0.005},
		Second: seam.Pin{X: 60, Error: [2]float64{0, 0.01}, Clearance: 0.005}}
	down := up
	down.Name, down.FaceDown = "down", true
	f, err := seam.Forward([]seam.Point{{X: 30, Y: 19, NY: 1}}, seam.Seam{Proud: up, Other: down, Gauge: 0.001})
	if err != nil {
		fmt.Println(err)
		return
	}
	p := f.Points[0]
	fmt.Printf("step %.3f mm, usually %.3f to %.3f, worst %.3f to %.3f\n", p.Mean, p.UsualLow, p.UsualHigh, p.Low, p.High)
	// Output: step -0.020 mm, usually -0.026 to -0.014, worst -0.030 to -0.010
}

// A row of points on one edge cannot say what a step comes from.
func ExampleFit_cannotSeparate() {
	edge := []seam.Point{{X: 0, Y: 19, NY: 1}, {X: 20, Y: 19, NY: 1}, {X: 40, Y: 19, NY: 1}, {X: 60, Y: 19, NY: 1}}
	_, err := seam.Fit(edge, [][]float64{{0.01, 0.01, 0.01, 0.01}}, seam.Options{NoSize: true})
	fmt.Println(err)
	// Output: these points cannot tell what the step comes from: no point shows the shift in x; add points on edges that face that way
}
