"""One user job a file: a request in, a result out; what a long job stands on is in the folder of its name."""
