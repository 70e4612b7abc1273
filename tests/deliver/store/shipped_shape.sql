PRAGMA foreign_keys = OFF;
BEGIN TRANSACTION;
CREATE TABLE change (
	seq INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	operation VARCHAR(64) NOT NULL, 
	job VARCHAR(32) NOT NULL, 
	path VARCHAR(200) NOT NULL, 
	old TEXT NOT NULL, 
	new TEXT NOT NULL, 
	held BOOLEAN NOT NULL, 
	FOREIGN KEY(operation) REFERENCES operation (id), 
	FOREIGN KEY(job) REFERENCES job (id)
);
INSERT INTO "change" VALUES(1,'taken-in','ab15b147c3569b79','reference','null','"D-003"',0);
INSERT INTO "change" VALUES(2,'taken-in','ab15b147c3569b79','title','null','"3 Example Terrace: a quote from photographs"',0);
INSERT INTO "change" VALUES(3,'taken-in','ab15b147c3569b79','date','null','"2026-11-21"',0);
INSERT INTO "change" VALUES(4,'taken-in','ab15b147c3569b79','people[0].role','null','"customer"',0);
INSERT INTO "change" VALUES(5,'taken-in','ab15b147c3569b79','people[0].name','null','"D. Placeholder"',0);
INSERT INTO "change" VALUES(6,'taken-in','ab15b147c3569b79','people[0].address','null','["3 Example Terrace", "Sampleton"]',0);
INSERT INTO "change" VALUES(7,'taken-in','ab15b147c3569b79','people[0].postcode','null','"ZZ3 3ZZ"',0);
INSERT INTO "change" VALUES(8,'taken-in','ab15b147c3569b79','site.address','null','["3 Example Terrace", "Sampleton"]',0);
INSERT INTO "change" VALUES(9,'taken-in','ab15b147c3569b79','site.postcode','null','"ZZ3 3ZZ"',0);
INSERT INTO "change" VALUES(10,'taken-in','ab15b147c3569b79','site.nation','null','"Scotland"',0);
INSERT INTO "change" VALUES(11,'taken-in','ab15b147c3569b79','site.dwelling','null','"house"',0);
INSERT INTO "change" VALUES(12,'taken-in','ab15b147c3569b79','site.built_year','null','{"low": 1900, "high": 1935, "because": "by the look of the street"}',0);
INSERT INTO "change" VALUES(13,'taken-in','ab15b147c3569b79','supply.phases','null','1',0);
INSERT INTO "change" VALUES(14,'taken-in','ab15b147c3569b79','supply.earthing','null','"TN-C-S"',0);
INSERT INTO "change" VALUES(15,'taken-in','ab15b147c3569b79','supply.cutout.kind','null','"bs1361"',0);
INSERT INTO "change" VALUES(16,'taken-in','ab15b147c3569b79','supply.cutout.rating_a','null','{"low": 60, "high": 100, "because": "an old cut-out; the carrier cannot be read in the photograph"}',0);
INSERT INTO "change" VALUES(17,'taken-in','ab15b147c3569b79','supply.cutout.rating_known_by','null','"guessed from its look"',0);
INSERT INTO "change" VALUES(18,'taken-in','ab15b147c3569b79','supply.tails.size_mm2','null','{"low": 16, "high": 25, "because": "the sheath cannot be read in the photograph"}',0);
INSERT INTO "change" VALUES(19,'taken-in','ab15b147c3569b79','supply.tails.method','null','"C"',0);
INSERT INTO "change" VALUES(20,'taken-in','ab15b147c3569b79','supply.ze_ohm','null','{"low": 0.1, "high": 0.35, "because": "up to the operator''s usual figure for TN-C-S"}',0);
INSERT INTO "change" VALUES(21,'taken-in','ab15b147c3569b79','installation.board','null','"plastic board under the stairs with one residual current device for half of it"',0);
INSERT INTO "change" VALUES(22,'taken-in','ab15b147c3569b79','installation.loads[0].name','null','"oven and hob"',0);
INSERT INTO "change" VALUES(23,'taken-in','ab15b147c3569b79','installation.loads[0].purpose','null','"cooking"',0);
INSERT INTO "change" VALUES(24,'taken-in','ab15b147c3569b79','installation.loads[0].power_w','null','{"low": 6000, "high": 9500, "because": "the plate is not in the photograph"}',0);
INSERT INTO "change" VALUES(25,'taken-in','ab15b147c3569b79','installation.loads[1].name','null','"ring"',0);
INSERT INTO "change" VALUES(26,'taken-in','ab15b147c3569b79','installation.loads[1].purpose','null','"standard_circuits"',0);
INSERT INTO "change" VALUES(27,'taken-in','ab15b147c3569b79','installation.loads[1].current_a','null','32',0);
INSERT INTO "change" VALUES(28,'taken-in','ab15b147c3569b79','installation.loads[2].name','null','"second ring"',0);
INSERT INTO "change" VALUES(29,'taken-in','ab15b147c3569b79','installation.loads[2].purpose','null','"standard_circuits"',0);
INSERT INTO "change" VALUES(30,'taken-in','ab15b147c3569b79','installation.loads[2].current_a','null','32',0);
INSERT INTO "change" VALUES(31,'taken-in','ab15b147c3569b79','installation.loads[3].name','null','"lighting"',0);
INSERT INTO "change" VALUES(32,'taken-in','ab15b147c3569b79','installation.loads[3].purpose','null','"lighting"',0);
INSERT INTO "change" VALUES(33,'taken-in','ab15b147c3569b79','installation.loads[3].current_a','null','3',0);
INSERT INTO "change" VALUES(34,'taken-in','ab15b147c3569b79','installation.annual_kwh','null','{"low": 2500, "high": 4000, "because": "the customer remembers a monthly bill"}',0);
INSERT INTO "change" VALUES(35,'taken-in','ab15b147c3569b79','generation.fitted','null','false',0);
INSERT INTO "change" VALUES(36,'taken-in','ab15b147c3569b79','storage.fitted','null','false',0);
INSERT INTO "change" VALUES(37,'taken-in','ab15b147c3569b79','charge_point.rated_a','null','32',0);
INSERT INTO "change" VALUES(38,'taken-in','ab15b147c3569b79','charge_point.phases','null','1',0);
INSERT INTO "change" VALUES(39,'taken-in','ab15b147c3569b79','charge_point.connector','null','"tethered"',0);
INSERT INTO "change" VALUES(40,'taken-in','ab15b147c3569b79','charge_point.outdoors','null','true',0);
INSERT INTO "change" VALUES(41,'taken-in','ab15b147c3569b79','charge_point.sends_power_back','null','false',0);
INSERT INTO "change" VALUES(42,'taken-in','ab15b147c3569b79','charge_point.meets_standards','null','true',0);
INSERT INTO "change" VALUES(43,'taken-in','ab15b147c3569b79','charge_point.dc_detection','null','true',0);
INSERT INTO "change" VALUES(44,'taken-in','ab15b147c3569b79','charge_point.rcd.fitted','null','false',0);
INSERT INTO "change" VALUES(45,'taken-in','ab15b147c3569b79','charge_point.open_pen','null','"voltage window"',0);
INSERT INTO "change" VALUES(46,'taken-in','ab15b147c3569b79','charge_point.load_cap.fitted','null','false',0);
INSERT INTO "change" VALUES(47,'taken-in','ab15b147c3569b79','charge_point.ip','null','"IP54"',0);
INSERT INTO "change" VALUES(48,'taken-in','ab15b147c3569b79','charge_point.mounting','null','"wall"',0);
INSERT INTO "change" VALUES(49,'taken-in','ab15b147c3569b79','circuit.device.kind','null','"rcbo"',0);
INSERT INTO "change" VALUES(50,'taken-in','ab15b147c3569b79','circuit.device.curve','null','"B"',0);
INSERT INTO "change" VALUES(51,'taken-in','ab15b147c3569b79','circuit.device.rating_a','null','32',0);
INSERT INTO "change" VALUES(52,'taken-in','ab15b147c3569b79','circuit.device.breaking_ka','null','6',0);
INSERT INTO "change" VALUES(53,'taken-in','ab15b147c3569b79','circuit.device.energy_class','null','3',0);
INSERT INTO "change" VALUES(54,'taken-in','ab15b147c3569b79','circuit.rcd.fitted','null','true',0);
INSERT INTO "change" VALUES(55,'taken-in','ab15b147c3569b79','circuit.rcd.type','null','"A"',0);
INSERT INTO "change" VALUES(56,'taken-in','ab15b147c3569b79','circuit.rcd.idn_ma','null','30',0);
INSERT INTO "change" VALUES(57,'taken-in','ab15b147c3569b79','circuit.rcd.poles','null','2',0);
INSERT INTO "change" VALUES(58,'taken-in','ab15b147c3569b79','circuit.earthed_by','null','"supply"',0);
INSERT INTO "change" VALUES(59,'taken-in','ab15b147c3569b79','route[0].name','null','"under the floor to the front wall"',0);
INSERT INTO "change" VALUES(60,'taken-in','ab15b147c3569b79','route[0].cable.kind','null','"flat_twin_and_earth"',0);
INSERT INTO "change" VALUES(61,'taken-in','ab15b147c3569b79','route[0].cable.size_mm2','null','6',0);
INSERT INTO "change" VALUES(62,'taken-in','ab15b147c3569b79','route[0].cable.cpc','null','"core"',0);
INSERT INTO "change" VALUES(63,'taken-in','ab15b147c3569b79','route[0].length_m','null','{"low": 6, "high": 11, "because": "scaled from a photograph"}',0);
INSERT INTO "change" VALUES(64,'taken-in','ab15b147c3569b79','route[0].method','null','"C"',0);
INSERT INTO "change" VALUES(65,'taken-in','ab15b147c3569b79','route[0].ambient_c','null','30',0);
INSERT INTO "change" VALUES(66,'taken-in','ab15b147c3569b79','route[0].outdoors','null','false',0);
INSERT INTO "change" VALUES(67,'taken-in','ab15b147c3569b79','route[1].name','null','"front wall"',0);
INSERT INTO "change" VALUES(68,'taken-in','ab15b147c3569b79','route[1].cable.kind','null','"armoured_90c"',0);
INSERT INTO "change" VALUES(69,'taken-in','ab15b147c3569b79','route[1].cable.size_mm2','null','6',0);
INSERT INTO "change" VALUES(70,'taken-in','ab15b147c3569b79','route[1].cable.cores_count','null','3',0);
INSERT INTO "change" VALUES(71,'taken-in','ab15b147c3569b79','route[1].cable.cpc','null','"core"',0);
INSERT INTO "change" VALUES(72,'taken-in','ab15b147c3569b79','route[1].length_m','null','3',0);
INSERT INTO "change" VALUES(73,'taken-in','ab15b147c3569b79','route[1].method','null','"C"',0);
INSERT INTO "change" VALUES(74,'taken-in','ab15b147c3569b79','route[1].ambient_c','null','30',0);
INSERT INTO "change" VALUES(75,'taken-in','ab15b147c3569b79','route[1].circuits_together_count','null','1',0);
INSERT INTO "change" VALUES(76,'taken-in','ab15b147c3569b79','route[1].insulation_mm','null','0',0);
INSERT INTO "change" VALUES(77,'taken-in','ab15b147c3569b79','route[1].outdoors','null','true',0);
INSERT INTO "change" VALUES(78,'second-job','48951e0df4dfd1fc','title','null','"A second job"',0);
INSERT INTO "change" VALUES(79,'loop-test','ab15b147c3569b79','supply.ze_ohm','{"low": 0.1, "high": 0.35, "because": "up to the operator''s usual figure for TN-C-S"}','0.28',0);
INSERT INTO "change" VALUES(80,'other-job','48951e0df4dfd1fc','supply.looped','null','true',0);
INSERT INTO "change" VALUES(81,'a-van','ab15b147c3569b79','supply.ze_ohm','0.28','0.34',1);
INSERT INTO "change" VALUES(82,'a-van','ab15b147c3569b79','supply.looped','null','false',0);
INSERT INTO "change" VALUES(83,'settled','ab15b147c3569b79','supply.ze_ohm','0.28','0.34',0);
INSERT INTO "change" VALUES(84,'taken-back','ab15b147c3569b79','supply.ze_ohm','0.34','0.28',0);
CREATE TABLE job (
	id VARCHAR(32) NOT NULL, 
	created VARCHAR(40) NOT NULL, 
	PRIMARY KEY (id)
);
INSERT INTO "job" VALUES('ab15b147c3569b79','2026-11-26T15:40:39.432+00:00');
INSERT INTO "job" VALUES('48951e0df4dfd1fc','2026-11-26T15:40:39.445+00:00');
CREATE TABLE operation (
	id VARCHAR(64) NOT NULL, 
	job VARCHAR(32) NOT NULL, 
	who VARCHAR(200) NOT NULL, 
	at VARCHAR(40) NOT NULL, 
	origin VARCHAR(200) NOT NULL, 
	base INTEGER NOT NULL, 
	asked TEXT NOT NULL, 
	undoes VARCHAR(64), 
	settles INTEGER, 
	PRIMARY KEY (id), 
	FOREIGN KEY(job) REFERENCES job (id), 
	UNIQUE (undoes), 
	FOREIGN KEY(undoes) REFERENCES operation (id), 
	UNIQUE (settles), 
	FOREIGN KEY(settles) REFERENCES change (seq)
);
INSERT INTO "operation" VALUES('taken-in','ab15b147c3569b79','Ann','2026-11-26T15:40:39.433+00:00','a page on this machine',0,'["", 0, [["reference", "D-003"], ["title", "3 Example Terrace: a quote from photographs"], ["date", "2026-11-21"], ["people[0].role", "customer"], ["people[0].name", "D. Placeholder"], ["people[0].address", ["3 Example Terrace", "Sampleton"]], ["people[0].postcode", "ZZ3 3ZZ"], ["site.address", ["3 Example Terrace", "Sampleton"]], ["site.postcode", "ZZ3 3ZZ"], ["site.nation", "Scotland"], ["site.dwelling", "house"], ["site.built_year", {"low": 1900, "high": 1935, "because": "by the look of the street"}], ["supply.phases", 1], ["supply.earthing", "TN-C-S"], ["supply.cutout.kind", "bs1361"], ["supply.cutout.rating_a", {"low": 60, "high": 100, "because": "an old cut-out; the carrier cannot be read in the photograph"}], ["supply.cutout.rating_known_by", "guessed from its look"], ["supply.tails.size_mm2", {"low": 16, "high": 25, "because": "the sheath cannot be read in the photograph"}], ["supply.tails.method", "C"], ["supply.ze_ohm", {"low": 0.1, "high": 0.35, "because": "up to the operator''s usual figure for TN-C-S"}], ["installation.board", "plastic board under the stairs with one residual current device for half of it"], ["installation.loads[0].name", "oven and hob"], ["installation.loads[0].purpose", "cooking"], ["installation.loads[0].power_w", {"low": 6000, "high": 9500, "because": "the plate is not in the photograph"}], ["installation.loads[1].name", "ring"], ["installation.loads[1].purpose", "standard_circuits"], ["installation.loads[1].current_a", 32], ["installation.loads[2].name", "second ring"], ["installation.loads[2].purpose", "standard_circuits"], ["installation.loads[2].current_a", 32], ["installation.loads[3].name", "lighting"], ["installation.loads[3].purpose", "lighting"], ["installation.loads[3].current_a", 3], ["installation.annual_kwh", {"low": 2500, "high": 4000, "because": "the customer remembers a monthly bill"}], ["generation.fitted", false], ["storage.fitted", false], ["charge_point.rated_a", 32], ["charge_point.phases", 1], ["charge_point.connector", "tethered"], ["charge_point.outdoors", true], ["charge_point.sends_power_back", false], ["charge_point.meets_standards", true], ["charge_point.dc_detection", true], ["charge_point.rcd.fitted", false], ["charge_point.open_pen", "voltage window"], ["charge_point.load_cap.fitted", false], ["charge_point.ip", "IP54"], ["charge_point.mounting", "wall"], ["circuit.device.kind", "rcbo"], ["circuit.device.curve", "B"], ["circuit.device.rating_a", 32], ["circuit.device.breaking_ka", 6], ["circuit.device.energy_class", 3], ["circuit.rcd.fitted", true], ["circuit.rcd.type", "A"], ["circuit.rcd.idn_ma", 30], ["circuit.rcd.poles", 2], ["circuit.earthed_by", "supply"], ["route[0].name", "under the floor to the front wall"], ["route[0].cable.kind", "flat_twin_and_earth"], ["route[0].cable.size_mm2", 6], ["route[0].cable.cpc", "core"], ["route[0].length_m", {"low": 6, "high": 11, "because": "scaled from a photograph"}], ["route[0].method", "C"], ["route[0].ambient_c", 30], ["route[0].outdoors", false], ["route[1].name", "front wall"], ["route[1].cable.kind", "armoured_90c"], ["route[1].cable.size_mm2", 6], ["route[1].cable.cores_count", 3], ["route[1].cable.cpc", "core"], ["route[1].length_m", 3], ["route[1].method", "C"], ["route[1].ambient_c", 30], ["route[1].circuits_together_count", 1], ["route[1].insulation_mm", 0], ["route[1].outdoors", true]]]',NULL,NULL);
INSERT INTO "operation" VALUES('second-job','48951e0df4dfd1fc','Ann','2026-11-26T15:40:39.445+00:00','a page on this machine',0,'["", 0, [["title", "A second job"]]]',NULL,NULL);
INSERT INTO "operation" VALUES('loop-test','ab15b147c3569b79','Ann','2026-11-26T15:40:39.454+00:00','a page on this machine',77,'["ab15b147c3569b79", 77, [["supply.ze_ohm", 0.28]]]',NULL,NULL);
INSERT INTO "operation" VALUES('other-job','48951e0df4dfd1fc','Ann','2026-11-26T15:40:39.462+00:00','a page on this machine',78,'["48951e0df4dfd1fc", 78, [["supply.looped", true]]]',NULL,NULL);
INSERT INTO "operation" VALUES('a-van','ab15b147c3569b79','Ann','2026-11-26T15:40:39.473+00:00','a page on this machine',77,'["ab15b147c3569b79", 77, [["supply.ze_ohm", 0.34], ["supply.looped", false]]]',NULL,NULL);
INSERT INTO "operation" VALUES('settled','ab15b147c3569b79','Ann','2026-11-26T15:40:39.488+00:00','a page on this machine',82,'["ab15b147c3569b79", 81, [["settle", true]]]',NULL,81);
INSERT INTO "operation" VALUES('no-change','ab15b147c3569b79','Ann','2026-11-26T15:40:39.500+00:00','a page on this machine',83,'["ab15b147c3569b79", 83, [["supply.looped", false]]]',NULL,NULL);
INSERT INTO "operation" VALUES('taken-back','ab15b147c3569b79','Ann','2026-11-26T15:40:39.511+00:00','a page on this machine',83,'["ab15b147c3569b79", 0, [["undo", "settled"]]]','settled',NULL);
CREATE INDEX ix_operation_job ON operation (job);
CREATE INDEX change_in_order ON change (job, seq);
CREATE INDEX ix_change_operation ON change (operation);
CREATE TRIGGER job_no_update BEFORE UPDATE ON "job" BEGIN SELECT RAISE(ABORT, 'the store only grows'); END;
CREATE TRIGGER job_no_delete BEFORE DELETE ON "job" BEGIN SELECT RAISE(ABORT, 'the store only grows'); END;
CREATE TRIGGER operation_no_update BEFORE UPDATE ON "operation" BEGIN SELECT RAISE(ABORT, 'the store only grows'); END;
CREATE TRIGGER operation_no_delete BEFORE DELETE ON "operation" BEGIN SELECT RAISE(ABORT, 'the store only grows'); END;
CREATE TRIGGER change_no_update BEFORE UPDATE ON "change" BEGIN SELECT RAISE(ABORT, 'the store only grows'); END;
CREATE TRIGGER change_no_delete BEFORE DELETE ON "change" BEGIN SELECT RAISE(ABORT, 'the store only grows'); END;
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('change',84);
COMMIT;
PRAGMA user_version = 1;
