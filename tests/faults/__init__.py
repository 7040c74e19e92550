"""What is left behind when a run is ended, stopped, or cannot write?"""
