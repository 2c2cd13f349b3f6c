import os

# NumPy reads it when it is first imported. Threads that wait for each other on busy processors cost
# many times what they save; `sessions.limited` sets it for the children.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
