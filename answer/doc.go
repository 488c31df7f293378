// Package answer says what numbers from many variants mean, and only as strongly as they allow: whether a response has
// flattened within a range, which inputs matter, how a response is spread, which variants are not beaten in two aims,
// how flat an optimum is and what its constraints cost, and where more passes stop paying.
//
// Every answer is plain data with the uncertainty that it rests on. Sentences are made from it, with names and units
// that the caller gives; an answer that the numbers do not allow is "undecided", with what would decide it.
//
// The package takes numbers and gives numbers: it runs nothing, knows no units and opens no file. Left out: more than
// two aims, and inputs that hang together.
package answer
