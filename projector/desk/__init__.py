"""Starts and joins all: session, journal and page on one loop; the window and the jobs are processes of their own.

desk.py      the one place that holds the snapshot
journal.py   what was done, appended as it is done; a power cut resumes mid-step
jobs.py      work in low-priority children with limits; tasks.py says which
serve.py     port, signals, the page
"""
