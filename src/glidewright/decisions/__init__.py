"""One user job a file: a request in, a result out."""
