"""Virtual cloth: what a list of steps really cuts. Shares no code with the steps; reads lay.json, pieces.json, NN.json only."""
