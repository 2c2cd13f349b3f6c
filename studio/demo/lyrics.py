"""The words of the EP's five songs, written for this demo."""

SLOW_THE_LANTERN = """
[Verse 1, bar 9]
Somebody’s walking the towpath late
[bar 13] Swinging a light at the lock-house gate
[Chorus, bar 17]
[bar 16, beat 10] Slow the lantern, hold it low
[bar 21] There is somewhere the water has to go
[Verse 2, bar 25]
Nobody’s hurry was ever worth
[bar 29] The mud on the boots or the weight of earth
[Chorus again, bar 33]
Slow the lantern, set it down
[bar 37] It has lit the whole of a sleeping town
[Last chorus, bar 57]
Slow the lantern, let it stand
[bar 61] It will find its own way to your hand
"""
NEAP_AND_SPRING = """
[Verse 1, bar 5]
Give me the small one, give me the neap
[bar 13] That never goes further than it can keep
[Verse 2, bar 21]
Give me the great one, give me the spring
[bar 29] That carries the stairs off and everything
[Refrain, bar 37]
Neap and spring and the fortnight between
[bar 40, beat 3] I have been both and I know what they mean
[Verse 3, bar 45]
Chalk on the wall where the last one came
[bar 53] Somebody wrote underneath it a name
"""
SEVEN_BELLS_ROUND = """
[First voice, bar 1]
Seven bells and nobody up but the cook
[Second voice, bar 5]
Seven bells and he’s sweeping the page for his book
[Third voice, bar 9]
Seven bells and the porridge is looking at me
[Spoken verse, bar 25]
I had a watch once that told the right time
[bar 27] It told it one Tuesday, at quarter to nine
[bar 29] I have asked it since, and it will not say
[bar 31] It had only the one, and it gave it away
"""
THE_FERRY_CLERK = """
[Verse 1, bar 3]
Forty-one singles and none coming back
I wrote them all down in the blue and the black
[Chorus, bar 11]
Stamp it, tear it, mind the plank
I’ve nobody under and no one to thank
[Verse 2, bar 19]
A piper came over and paid with a tune
I entered it under receipts for June
"""
SALT_ON_THE_SILL = """
[Verse 1, bar 7]
There is salt on the sill and I never go near
It comes in on the coats of whoever was here
[Middle, bar 31]
Wipe it away and it’s back by noon
[Verse 2, bar 39]
There is salt in the bread and I let it stay
It is more of you than you’d give away
"""
