// A program that loads the libraries that Wale loads, and does nothing: what `wale check` of one file is held
// against.
int main() {}
