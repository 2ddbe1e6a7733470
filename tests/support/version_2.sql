-- A journal as the program wrote it at version 2: a bake that was given up, and one that is live as B.
-- Made by that program itself; never made again.
PRAGMA application_id = 1349665381;
PRAGMA user_version = 2;
BEGIN TRANSACTION;
CREATE TABLE events (
        seq INTEGER PRIMARY KEY,
        id TEXT NOT NULL UNIQUE,
        bake TEXT NOT NULL,
        number INTEGER NOT NULL CHECK (number >= 1),
        decision INTEGER NOT NULL CHECK (decision BETWEEN 1 AND number),
        wall_us INTEGER NOT NULL,
        boot_us INTEGER NOT NULL,
        boot_id TEXT NOT NULL,
        offset_min INTEGER NOT NULL,
        name TEXT NOT NULL,
        schema INTEGER NOT NULL CHECK (schema >= 1),
        body TEXT NOT NULL,
        digest TEXT NOT NULL,
        UNIQUE (bake, number)
    ) STRICT
    ;
INSERT INTO "events" VALUES(1,'733743058352c902ef6cd1b2','20260314-0700-rolls-early',1,1,1773471600000000,5000000000,'boot-1',60,'bake opened',1,'{"batch":{"dough_g":840.0,"expected_c":null,"flour_g":500.0,"ice_g":0.0,"in_tin":null,"lines":[{"at":[],"grams":500.0,"into":"","measure":"","name":"strong white flour","note":"","temperature_c":null,"use":"dough"},{"at":[],"grams":325.0,"into":"","measure":"","name":"water","note":"","temperature_c":24.0,"use":"dough"}],"liquid":"","liquid_c":null,"loaf_g":null,"piece_g":70.0,"pieces":12,"rise_from":"","rise_k":null,"rise_range_k":null,"tin_kind":null,"tin_ml":null},"formula":{"about":"","batch":{"dough_g":null,"flour_g":null,"in_tin":null,"loss_percent":0.0,"piece_g":70.0,"pieces":12,"tin_kind":"open","tin_ml":null,"weigh_s":null},"digest":"","dough":{"mixing":"hand","raising":null,"rise_k":null,"temperature_c":25.0},"ingredients":[{"at":[],"contains":[],"each_g":null,"form":null,"heat":false,"kind":"flour","made_of":null,"measured":null,"name":"strong white flour","origin":"room","origin_c":null,"percent":100.0,"use":"dough","water_percent":null},{"at":[],"contains":[],"each_g":null,"form":null,"heat":true,"kind":"water","made_of":null,"measured":null,"name":"water","origin":"room","origin_c":null,"percent":65.0,"use":"dough","water_percent":null}],"name":"Harbour rolls","outside":[],"oven":{"temperature_c":220.0,"trays":1},"stages":[{"adjust":null,"checks":[],"chill_instead":null,"core":null,"hands_s":null,"kind":"hands","made_for":null,"name":"Mix","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":null,"text":"","time_s":360.0,"turn_s":null},{"adjust":null,"checks":[],"chill_instead":null,"core":null,"hands_s":null,"kind":"hands","made_for":null,"name":"Knead","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":null,"text":"","time_s":540.0,"turn_s":null},{"adjust":{"bands":[{"below":24.0,"time_s":5100.0},{"below":26.0,"time_s":4200.0},{"below":null,"time_s":3300.0}],"read":"dough temperature"},"checks":[{"at_s":null,"expect":[24.0,26.0],"read":"dough temperature","when":"start"}],"chill_instead":null,"core":null,"hands_s":null,"kind":"proof","made_for":null,"name":"First proof","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":[3000.0,6000.0],"text":"","time_s":4200.0,"turn_s":null},{"adjust":null,"checks":[],"chill_instead":null,"core":null,"hands_s":null,"kind":"hands","made_for":null,"name":"Divide and shape","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":null,"text":"","time_s":1080.0,"turn_s":null},{"adjust":{"at_c":25.0,"place_c":22.0},"checks":[],"chill_instead":null,"core":null,"hands_s":null,"kind":"proof","made_for":null,"name":"Final proof","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":{"at_most":3,"extend_s":480.0,"wanted":[50.0,70.0]},"stretch":[2100.0,4200.0],"text":"","time_s":3000.0,"turn_s":null},{"adjust":null,"checks":[],"chill_instead":null,"core":[88.0,94.0],"hands_s":null,"kind":"bake","made_for":null,"name":"Bake","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":null,"text":"","time_s":960.0,"turn_s":540.0},{"adjust":null,"checks":[],"chill_instead":null,"core":null,"hands_s":null,"kind":"cool","made_for":null,"name":"Cool","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":null,"text":"","time_s":1800.0,"turn_s":null}],"style":"lean","text":""},"kitchen":{"alarm_command":[],"altitude_m":0.0,"drift":1.0,"drift_cold":null,"flour_c":null,"formulas":[],"freezer_c":-18.0,"fridge_c":4.0,"hands":1,"keys":[],"learn":true,"name":"Kitchen","oven":{"cool_down_s":1200.0,"dial":[],"fan_less_k":20.0,"heat_up_s":1500.0,"kind":"conventional","trays":1},"pace":1.0,"places":[],"pressure_hpa":null,"probe":{"checked":"","offset_k":0.0,"pt100":null,"slope":1.0,"tolerance_k":1.0},"region":"eu","rise_hand_k":null,"rise_machine_k":null,"room_c":21.0,"scale":{"fine_step_g":null,"step_g":1.0},"tap_c":12.0,"tap_hot_c":50.0,"theme":"","uncertainty_k":1.0},"letter":"A","version":"0.1.0"}','adf120137aaeaf35e54044ef02e50ce8');
INSERT INTO "events" VALUES(2,'ffbc98c4daad829f3a628b5c','20260314-0700-rolls-early',2,2,1773471700000000,5100000000,'boot-1',60,'stage begun',1,'{"ago_s":0.0,"stage":0,"why":""}','0fbd1cf5cb92ce150d1227adf4dade25');
INSERT INTO "events" VALUES(3,'4f39f353d65476a9266b5bc9','20260314-0700-rolls-early',3,3,1773471800000000,5200000000,'boot-1',60,'bake closed',1,'{"outcome":"given up","why":"no flour"}','65d04a77b883dfd76d1a8034e9ce1e0c');
INSERT INTO "events" VALUES(4,'7a21c5b7a0e6a74d10f3a533','20260314-0800-rolls-live',1,1,1773471600000000,5000000000,'boot-1',60,'bake opened',1,'{"batch":{"dough_g":840.0,"expected_c":null,"flour_g":500.0,"ice_g":0.0,"in_tin":null,"lines":[{"at":[],"grams":500.0,"into":"","measure":"","name":"strong white flour","note":"","temperature_c":null,"use":"dough"},{"at":[],"grams":325.0,"into":"","measure":"","name":"water","note":"","temperature_c":24.0,"use":"dough"}],"liquid":"","liquid_c":null,"loaf_g":null,"piece_g":70.0,"pieces":12,"rise_from":"","rise_k":null,"rise_range_k":null,"tin_kind":null,"tin_ml":null},"formula":{"about":"","batch":{"dough_g":null,"flour_g":null,"in_tin":null,"loss_percent":0.0,"piece_g":70.0,"pieces":12,"tin_kind":"open","tin_ml":null,"weigh_s":null},"digest":"","dough":{"mixing":"hand","raising":null,"rise_k":null,"temperature_c":25.0},"ingredients":[{"at":[],"contains":[],"each_g":null,"form":null,"heat":false,"kind":"flour","made_of":null,"measured":null,"name":"strong white flour","origin":"room","origin_c":null,"percent":100.0,"use":"dough","water_percent":null},{"at":[],"contains":[],"each_g":null,"form":null,"heat":true,"kind":"water","made_of":null,"measured":null,"name":"water","origin":"room","origin_c":null,"percent":65.0,"use":"dough","water_percent":null}],"name":"Harbour rolls","outside":[],"oven":{"temperature_c":220.0,"trays":1},"stages":[{"adjust":null,"checks":[],"chill_instead":null,"core":null,"hands_s":null,"kind":"hands","made_for":null,"name":"Mix","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":null,"text":"","time_s":360.0,"turn_s":null},{"adjust":null,"checks":[],"chill_instead":null,"core":null,"hands_s":null,"kind":"hands","made_for":null,"name":"Knead","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":null,"text":"","time_s":540.0,"turn_s":null},{"adjust":{"bands":[{"below":24.0,"time_s":5100.0},{"below":26.0,"time_s":4200.0},{"below":null,"time_s":3300.0}],"read":"dough temperature"},"checks":[{"at_s":null,"expect":[24.0,26.0],"read":"dough temperature","when":"start"}],"chill_instead":null,"core":null,"hands_s":null,"kind":"proof","made_for":null,"name":"First proof","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":[3000.0,6000.0],"text":"","time_s":4200.0,"turn_s":null},{"adjust":null,"checks":[],"chill_instead":null,"core":null,"hands_s":null,"kind":"hands","made_for":null,"name":"Divide and shape","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":null,"text":"","time_s":1080.0,"turn_s":null},{"adjust":{"at_c":25.0,"place_c":22.0},"checks":[],"chill_instead":null,"core":null,"hands_s":null,"kind":"proof","made_for":null,"name":"Final proof","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":{"at_most":3,"extend_s":480.0,"wanted":[50.0,70.0]},"stretch":[2100.0,4200.0],"text":"","time_s":3000.0,"turn_s":null},{"adjust":null,"checks":[],"chill_instead":null,"core":[88.0,94.0],"hands_s":null,"kind":"bake","made_for":null,"name":"Bake","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":null,"text":"","time_s":960.0,"turn_s":540.0},{"adjust":null,"checks":[],"chill_instead":null,"core":null,"hands_s":null,"kind":"cool","made_for":null,"name":"Cool","no_core":false,"phases":[],"place_c":null,"place_name":null,"rise":null,"stretch":null,"text":"","time_s":1800.0,"turn_s":null}],"style":"lean","text":""},"kitchen":{"alarm_command":[],"altitude_m":0.0,"drift":1.0,"drift_cold":null,"flour_c":null,"formulas":[],"freezer_c":-18.0,"fridge_c":4.0,"hands":1,"keys":[],"learn":true,"name":"Kitchen","oven":{"cool_down_s":1200.0,"dial":[],"fan_less_k":20.0,"heat_up_s":1500.0,"kind":"conventional","trays":1},"pace":1.0,"places":[],"pressure_hpa":null,"probe":{"checked":"","offset_k":0.0,"pt100":null,"slope":1.0,"tolerance_k":1.0},"region":"eu","rise_hand_k":null,"rise_machine_k":null,"room_c":21.0,"scale":{"fine_step_g":null,"step_g":1.0},"tap_c":12.0,"tap_hot_c":50.0,"theme":"","uncertainty_k":1.0},"letter":"B","version":"0.1.0"}','0f06429cb75872b350a4d922cf55d844');
INSERT INTO "events" VALUES(5,'b0223ea06ff15ab7393a24a8','20260314-0800-rolls-live',2,2,1773471700000000,5100000000,'boot-1',60,'stage begun',1,'{"ago_s":0.0,"stage":0,"why":""}','881d86f300b74f4e4b9138d6c88b9354');
INSERT INTO "events" VALUES(6,'3268f11610a08015b3d8324b','20260314-0800-rolls-live',3,3,1773471800000000,5200000000,'boot-1',60,'stage ended',1,'{"ago_s":0.0,"missed":[],"stage":0,"why":""}','b78829a7df243bb4d4205f096511eb19');
INSERT INTO "events" VALUES(7,'752c64335677652a6ddca6e5','20260314-0800-rolls-live',4,3,1773471800000000,5200000000,'boot-1',60,'stage begun',1,'{"ago_s":0.0,"stage":1,"why":""}','b5f6c3a864b3747cd628f5d81b20bec2');
CREATE TABLE letters (
        letter TEXT PRIMARY KEY CHECK (letter IN ('A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'I', 'J', 'K', 'L')),
        bake TEXT NOT NULL UNIQUE
    ) STRICT, WITHOUT ROWID
    ;
INSERT INTO "letters" VALUES('B','20260314-0800-rolls-live');
CREATE TABLE liveness (
        one INTEGER PRIMARY KEY CHECK (one = 1),
        wall_us INTEGER NOT NULL,
        boot_us INTEGER NOT NULL,
        boot_id TEXT NOT NULL,
        offset_min INTEGER NOT NULL
    ) STRICT
    ;
INSERT INTO "liveness" VALUES(1,1773472600000000,6000000000,'boot-1',60);
CREATE TABLE summaries (
        bake TEXT PRIMARY KEY,
        upto INTEGER NOT NULL,
        made_by INTEGER NOT NULL,
        opened_us INTEGER NOT NULL,
        body TEXT NOT NULL,
        evidence TEXT NOT NULL
    ) STRICT, WITHOUT ROWID
    ;
CREATE INDEX openings ON events (bake) WHERE number = 1;
CREATE INDEX closings ON events (bake, number) WHERE name = 'bake closed';
CREATE INDEX corrections ON events (bake, number) WHERE name = 'corrected';
CREATE TRIGGER events_are_never_changed BEFORE UPDATE ON events
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only: an event is never changed'); END;
CREATE TRIGGER events_are_never_removed BEFORE DELETE ON events
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only: an event is never removed'); END;
CREATE TRIGGER events_come_in_order BEFORE INSERT ON events
    WHEN NEW.number <> 1 + coalesce((SELECT max(number) FROM events WHERE bake = NEW.bake), 0)
        OR EXISTS (SELECT 1 FROM events WHERE id = NEW.id)
        OR EXISTS (SELECT 1 FROM events WHERE seq = NEW.seq)
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only: this number or id is taken, or one is left out'); END;
CREATE INDEX summaries_upto ON summaries (upto);
CREATE INDEX summaries_opened ON summaries (opened_us) WHERE evidence <> '';
COMMIT;
