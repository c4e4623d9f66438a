-- Rows as the program with the tables of 0003 wrote them, in the SQL that both databases read; made by saving
-- records with the store of that time and printing each table. Sealed with the key
-- b25lIHBhdGllbnQgZ2xhemllciwgMzIgc2VjcmV0cy4=

INSERT INTO audits (id, clinic_id, staff_id, at, action, person_id, detail)
    VALUES (1, 'clinic', 'ben', 1772478000000000, 'look', 'cook', 'gAAAAABrBuparXqJMTO2uKpkLevg0Qi0YEIot5IJocxl7os97qFr05BlYPjmgMLymTBCImivKcYZFtytMBAJStzc7Kh0AWHfu6dovtdK1uP4Kq-K83QwaCg=');
INSERT INTO clinics (id, name, zone, language, emergency)
    VALUES ('clinic', 'Fennel Lane', 'Europe/Lisbon', 'en', '');
INSERT INTO dialogues (clinic_id, person_id, flow, step, check_in_id, facts)
    VALUES ('clinic', 'ben', 'act', 'confirm', NULL, 'gAAAAABrBupar6x5xNEcy3FSV4YmMcAQhR2kGamRCg3_3SlXX95Gj-iQxQkP3P696S9cUAVSt2ryd7DiacvNewSD1ZxkaSnLvmEj6s5a8QGz5-xqpfcLxxI=');
INSERT INTO dialogues (clinic_id, person_id, flow, step, check_in_id, facts)
    VALUES ('clinic', 'cook', 'evening', 'sets', 'check-in-1', 'gAAAAABrBupaO5D3X2hSlesRpwqBNzT2lNOZUde4cs_2w0pMF0PGDqm2-bJLI_O0cljnFUY5q8oFgoZGECRUG0zwXix1SPkLDQ==');
INSERT INTO inbox (id, clinic_id, channel, update_id, address, received_at, payload, tries, retry_at, done_at, dead, why)
    VALUES (1, 'clinic', 'terminal', 4503599627370496, '4711', 1772478000000000, 'gAAAAABrBupab-2RGMqCV3mO3FR7oQ5veywn-bGWWsG_RUFs-1pCwLPZI9ULZM2Acdb3jmGcbaEIRYIB1tecA4H3VIX0JOhcZPQTFFDkYexCTtfPdGWGs2k=', 0, NULL, NULL, false, NULL);
INSERT INTO invitations (code_hash, clinic_id, created_at, expires_at, used_by, used_at, note, role, inviter_id)
    VALUES ('77aa', 'clinic', 1772478000000000, 1773082800000000, NULL, NULL, 'gAAAAABrBupaBa_XANOzodn8vA8YF1gnhjQjKGDLZ_OwsarHBZZFMTJytuQW6bOKNYLl6tlqi3euome7ds743yvMbCGHoNJaxA==', 'therapist', 'anna');
INSERT INTO keyring (clinic_id, proof)
    VALUES ('clinic', 'gAAAAABrBupaFcWnUEuoTisY_Hw2dk8Lgv6_AWbWEv-tlpg2ye5n-jYDj5jj09FHrm5OZxRI-XfaG8AZT2N9y_5NvOeeGT3g2QgEHJdqoeJwnMWcKNpTkrPCl1EUaxvtjc4eY1xhXxf9s1CBEblYquXcLtGlwNoomw==');
INSERT INTO leases (clinic_id, name, owner, until)
    VALUES ('clinic', 'poller', 'a process', 1772478030000000);
INSERT INTO outbox (id, key, clinic_id, person_id, channel, address, kind, facts, priority, at, not_before, expires_at, state, tries, unknowns, owner, lease_until, done_at, message_id, why, forgotten, about)
    VALUES (1, 'ask:cook:1', 'clinic', 'cook', 'terminal', '4711', 'evening.ask', 'gAAAAABrBupaSPqyNM2F-ZiWmhTyLG7Lrj2QHrSvffC7DyzOsEtpWeAy9aPpG4cWuf3CdqSMU5DxXwG1t1rrCWvQ14HPbuViDg==', '2-bulk', 1772478000000000, NULL, NULL, 'pending', 0, 0, NULL, NULL, NULL, NULL, NULL, false, '');
INSERT INTO outbox (id, key, clinic_id, person_id, channel, address, kind, facts, priority, at, not_before, expires_at, state, tries, unknowns, owner, lease_until, done_at, message_id, why, forgotten, about)
    VALUES (2, 'notice:ben:1', 'clinic', 'ben', 'terminal', '4702', 'therapist.notice', 'gAAAAABrBupamqIizndMMmEQt9TMF7vxwX_sdmHp6e374OtrHrOjDlpbwmAZHHd1v-5HZCrJx2WIqamgBHCfsemtbSCbW1MuEg==', '2-bulk', 1772478000000000, NULL, NULL, 'pending', 0, 0, NULL, NULL, NULL, NULL, NULL, false, 'cook');
INSERT INTO pace (clinic_id, next_at, halted_until)
    VALUES ('clinic', 1795615322240010, 0);
INSERT INTO people (clinic_id, id, channel, address, language, zone, evening, status, created_at, name, next_due, next_date, away_since, away_until, therapist_id)
    VALUES ('clinic', 'cook', 'terminal', '4711', 'en', 'Europe/Lisbon', '19:00:00.000000', 'active', 1772478000000000, 'gAAAAABrBupa-jwlZuxYhPaUPJ9NEeRXSMoLoAbjNCk5UxmV4zFbEYCjdDaloHJ5CH8ct76iVJgn3BE0CLFpzOluI6tAWn78StOi0Yyfn6Pt_lzw2zYPepI=', 1772478000000000, '2026-03-02', NULL, NULL, 'ben');
INSERT INTO people (clinic_id, id, channel, address, language, zone, evening, status, created_at, name, next_due, next_date, away_since, away_until, therapist_id)
    VALUES ('clinic', 'mason', 'terminal', '4712', 'en', 'Europe/Lisbon', '19:00:00.000000', 'discharged', 1772478000000000, '', NULL, NULL, NULL, NULL, 'ben');
INSERT INTO programmes (clinic_id, version, text, at)
    VALUES ('clinic', '1', 'steps = ''it''''s all here''', 1772478000000000);
INSERT INTO staff (clinic_id, id, channel, address, name, lead, therapist, language, zone, created_at, confirmed, digest_weekday, digest_time, next_digest, left_at)
    VALUES ('clinic', 'anna', 'terminal', '4701', 'gAAAAABrBupaoEecFo2In_Ykmdom0HIC6GnvgtwKrRXn0pF_u6sgIOB0BIpH0g-aVh8lU79UXS55k7vjXPNki_JGtXr3BWlm1Q==', true, true, 'en', 'Europe/Lisbon', 1772478000000000, true, 0, '07:30:00.000000', 1773082800000000, NULL);
INSERT INTO staff (clinic_id, id, channel, address, name, lead, therapist, language, zone, created_at, confirmed, digest_weekday, digest_time, next_digest, left_at)
    VALUES ('clinic', 'ben', 'terminal', '4702', 'gAAAAABrBupaU7nV0nIVjdylt3NjmOol1VfR1zZRDB_Ksg72v80vyFUWK3q2jCmCsiGLPBolEpkxA8yHbAzf8rIgEeUe1nE-oQ==', false, true, 'en', 'Europe/Lisbon', 1772478000000000, true, 0, '07:30:00.000000', NULL, NULL);
INSERT INTO staff (clinic_id, id, channel, address, name, lead, therapist, language, zone, created_at, confirmed, digest_weekday, digest_time, next_digest, left_at)
    VALUES ('clinic', 'gone', 'terminal', '4703', '', false, true, 'en', 'Europe/Lisbon', 1772478000000000, false, 0, '07:30:00.000000', NULL, 1772478000000000);
INSERT INTO courses (clinic_id, id, person_id, elbow, programme_version, episode, ended_at)
    VALUES ('clinic', 'course-c', 'cook', 'right', '1', '{"started":"2026-03-02","start_rating":5,"step":1,"since":"2026-03-02","load_g":0,"load_changed":null,"load_raised":null,"holds_days":0,"level":null,"level_set":null,"excess":0.0,"flared":null,"stay_until":null,"pinned_until":null,"step_backs":[],"idle_days":0,"idle_steps_taken":0,"silent_days":0,"first_week_mean":null,"told":[],"paused_for":null,"paused_since":null,"completed":false,"own_gates":[],"stopped":null}', NULL);
INSERT INTO notes (clinic_id, id, person_id, staff_id, at, text)
    VALUES ('clinic', 'note-1', 'cook', 'ben', 1772478000000000, 'gAAAAABrBupaEYabQmYzloFGhLdOFEU0GZCNg2auvEJQAU8QUPVWVjnBOGfZUREee1T_AlECIknp73tmYJ_SJOSSsx8Hwf53nSp-AxAmlHv03FWadqYD6mA=');
INSERT INTO notices (clinic_id, id, person_id, kind, key, at, facts, text)
    VALUES ('clinic', 'notice-1', 'cook', 'danger', 'danger:10', 1772478000000000, '', 'gAAAAABrBupab17sQerXsKRH845WpofakzdzP-vsL5npHovL8o8pz1Z1n81pMg0BxrPzOu_7fSaskoa1_yNuJqPmd5hOL7Nm98gAA_6m__UhsFevApwNhwQ=');
INSERT INTO check_ins (clinic_id, id, course_id, person_id, date, state, due_at, sets_asked, pain, sets_done, flag, answered_at, remind_at, close_at)
    VALUES ('clinic', 'check-in-1', 'course-c', 'cook', '2026-03-02', 'asked', 1772478000000000, 4, NULL, NULL, NULL, NULL, 1772485200000000, 1772510400000000);
INSERT INTO decisions (number, clinic_id, id, course_id, date, made_at, before, decision, superseded, kind, "by", note)
    VALUES (1, 'clinic', 'decision-1', 'course-c', '2026-03-02', 1772478000000000, '{"started":"2026-03-02","start_rating":5,"step":1,"since":"2026-03-02","load_g":0,"load_changed":null,"load_raised":null,"holds_days":0,"level":null,"level_set":null,"excess":0.0,"flared":null,"stay_until":null,"pinned_until":null,"step_backs":[],"idle_days":0,"idle_steps_taken":0,"silent_days":0,"first_week_mean":null,"told":[],"paused_for":null,"paused_since":null,"completed":false,"own_gates":[],"stopped":null}', '{"date":"2026-03-02","move":"hold","step":1,"dose":{"step":1,"kind":"isometric","sets":4,"reps":[1,1],"hold_s":30,"lift_s":0,"lower_s":0,"rest_s":[60,60],"load_g":0,"extra_holds":0,"extra_hold_s":0,"spread":false,"both_arms":false,"other_hand_lifts":false},"for_date":"2026-03-03","reasons":[{"code":"stay_days","numbers":[["served",3.0],["least",14.0]],"figures":[{"name":"gate","value":3.0,"provenance":"judgement","rows":[]}]}],"after":{"started":"2026-03-02","start_rating":5,"step":1,"since":"2026-03-02","load_g":0,"load_changed":null,"load_raised":null,"holds_days":0,"level":null,"level_set":null,"excess":0.0,"flared":null,"stay_until":null,"pinned_until":null,"step_backs":[],"idle_days":0,"idle_steps_taken":0,"silent_days":0,"first_week_mean":null,"told":[],"paused_for":null,"paused_since":null,"completed":false,"own_gates":[],"stopped":null},"programme_version":"1","rule_version":"1","notices":[],"flag":null,"ask_red_flags":false,"see_clinician":false}', false, 'evening', '', '');
INSERT INTO decisions (number, clinic_id, id, course_id, date, made_at, before, decision, superseded, kind, "by", note)
    VALUES (2, 'clinic', 'override-1', 'course-c', '2026-03-02', 1772478000000000, '{"started":"2026-03-02","start_rating":5,"step":1,"since":"2026-03-02","load_g":0,"load_changed":null,"load_raised":null,"holds_days":0,"level":null,"level_set":null,"excess":0.0,"flared":null,"stay_until":null,"pinned_until":null,"step_backs":[],"idle_days":0,"idle_steps_taken":0,"silent_days":0,"first_week_mean":null,"told":[],"paused_for":null,"paused_since":null,"completed":false,"own_gates":[],"stopped":null}', '{"date":"2026-03-02","move":"hold","step":1,"dose":{"step":1,"kind":"isometric","sets":4,"reps":[1,1],"hold_s":30,"lift_s":0,"lower_s":0,"rest_s":[60,60],"load_g":0,"extra_holds":0,"extra_hold_s":0,"spread":false,"both_arms":false,"other_hand_lifts":false},"for_date":"2026-03-03","reasons":[{"code":"stay_days","numbers":[["served",3.0],["least",14.0]],"figures":[{"name":"gate","value":3.0,"provenance":"judgement","rows":[]}]}],"after":{"started":"2026-03-02","start_rating":5,"step":1,"since":"2026-03-02","load_g":0,"load_changed":null,"load_raised":null,"holds_days":0,"level":null,"level_set":null,"excess":0.0,"flared":null,"stay_until":null,"pinned_until":null,"step_backs":[],"idle_days":0,"idle_steps_taken":0,"silent_days":0,"first_week_mean":null,"told":[],"paused_for":null,"paused_since":null,"completed":false,"own_gates":[],"stopped":null},"programme_version":"1","rule_version":"1","notices":[],"flag":null,"ask_red_flags":false,"see_clinician":false}', false, 'override', 'ben', 'gAAAAABrBupazJlO1IPw9cN2ovxo3f_AJ8PwWFqnuP0Ne7IdfwU7W8YUYt3g4OsYhiiPsvCtKDmDZBWv2yMeWSmVD81kxWtOSg==');
INSERT INTO outcomes (clinic_id, id, person_id, course_id, at, week, total, pain, function, answered)
    VALUES ('clinic', 'outcome-1', 'cook', 'course-c', 1772478000000000, 6, 41.5, 22.0, 19.5, 15);
INSERT INTO answers (id, clinic_id, check_in_id, person_id, at, pain, sets_done, flag, source, message_id)
    VALUES (1, 'clinic', 'check-in-1', 'cook', 1772478000000000, 4, 4, NULL, 'typed', NULL);
