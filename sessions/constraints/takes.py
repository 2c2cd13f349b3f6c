"""Takes, their parts, punch-ins and what a comp takes are of one song and part."""

from sessions.constraints.triggers import Trigger

TAKE = "studio_sessions_take"
TAKE_OF_SONG = "take_of_one_song: a take, its parts and the take that it goes into are of one song"
PUNCHED = "punch_in: it goes into an earlier whole take of its song"
COMP = "comp: it takes from takes of its part"
TAKES = [
    trigger
    for event in ("INSERT", "UPDATE")
    for trigger in (
        Trigger(
            f"rule_take_part_of_its_song_{event.lower()}",
            "studio_sessions_takepart",
            event,
            f"NOT EXISTS (SELECT 1 FROM {TAKE} t JOIN studio_sessions_part p "
            "ON p.song_id = t.song_id WHERE t.id = NEW.take_id AND p.id = NEW.part_id)",
            TAKE_OF_SONG,
        ),
        Trigger(
            f"rule_punch_in_{event.lower()}",
            TAKE,
            event,
            f"NEW.into_id IS NOT NULL AND (NOT EXISTS (SELECT 1 FROM {TAKE} t "
            "WHERE t.id = NEW.into_id AND t.song_id = NEW.song_id AND t.number < NEW.number "
            f"AND t.into_id IS NULL) OR EXISTS (SELECT 1 FROM {TAKE} t WHERE t.into_id = NEW.id))",
            PUNCHED,
        ),
        Trigger(
            f"rule_comp_choice_of_its_part_{event.lower()}",
            "studio_sessions_compchoice",
            event,
            "NOT EXISTS (SELECT 1 FROM studio_sessions_takepart p "
            "WHERE p.take_id = NEW.take_id AND p.part_id = NEW.part_id)",
            COMP,
        ),
    )
]
