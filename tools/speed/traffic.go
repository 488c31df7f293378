package main

// What one stage of the march has to move for each cell, in bytes, every array counted once for each time that it is
// read or written: a neighbour's value is taken to be in the cache still, and that a write may first fetch its line
// is not counted, here as in the triad.
//
//	temperatures of this stage            8  read
//	conductances to three neighbours  3 × 4  read
//	1/mass                                4  read
//	increments of the stage before        8  read
//	increments of two stages before       8  read, 8 written over by the new ones
//	heat flows at the step's start        8  read
//	enthalpies at the step's start        8  read, for the new temperatures
//	temperatures of the next stage        8  written
//
// Not counted is what is done once a step (conductances, the error, the books) and what only some cells have (faces,
// tubes, fronts): the bandwidth shown is a little lower than what really was moved. Where several stages go over the
// planes in one train, most of it comes from the cache: the bandwidth shown may then be higher than that of memory.
const stageBytes = 8 + 3*4 + 4 + 8 + 2*8 + 8 + 8 + 8

// workingSet is what a stage has in hand for each cell, in bytes: the same arrays, each once.
const workingSet = 8 + 3*4 + 4 + 8 + 8 + 8 + 8 + 8

// triadBytes are moved for each entry of a = b + s c.
const triadBytes = 3 * 8
