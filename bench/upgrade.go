package bench

// olderVersion is the form before the present one.
const olderVersion = "emberbank/0"
