"""What does the program say to files that were broken on purpose?"""
