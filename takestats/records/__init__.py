"""Records: files into a checked frame of trays, and the settings of the trial."""
