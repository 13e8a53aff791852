BEGIN TRANSACTION;
CREATE TABLE charges (
	id INTEGER NOT NULL, 
	model VARCHAR(200) NOT NULL, 
	number INTEGER NOT NULL, 
	pack VARCHAR(200) NOT NULL, 
	date VARCHAR(10) NOT NULL, 
	"put_back_As" FLOAT, 
	"resting_before_V" FLOAT, 
	"resting_after_V" FLOAT, 
	resistance_ohm FLOAT, 
	"temperature_K" FLOAT, 
	note TEXT NOT NULL, 
	PRIMARY KEY (id)
);
INSERT INTO "charges" VALUES(1,'Hill demo',1,'pack-2s-550','2026-05-31',1476.0,NULL,NULL,NULL,NULL,'');
INSERT INTO "charges" VALUES(2,'Hill demo',2,'pack-2s-550','2026-06-01',NULL,NULL,8.39,NULL,NULL,'cold, "8 °C"');
CREATE TABLE figures (
	id INTEGER NOT NULL, 
	flight_id INTEGER NOT NULL, 
	launch_id INTEGER, 
	name VARCHAR(60) NOT NULL, 
	value FLOAT, 
	low FLOAT, 
	high FLOAT, 
	unit VARCHAR(20) NOT NULL, 
	shown VARCHAR(20) NOT NULL, 
	grade VARCHAR(20) NOT NULL, 
	because TEXT NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(flight_id) REFERENCES flights (id) ON DELETE CASCADE, 
	FOREIGN KEY(launch_id) REFERENCES launches (id) ON DELETE CASCADE
);
INSERT INTO "figures" VALUES(1,1,NULL,'scale',1.01533552453771114265e+00,1.006783841080409303e+00,1.0238872079950129823e+00,'1','','measured','temperature of the air as stated');
INSERT INTO "figures" VALUES(2,1,NULL,'still_sink',3.5605075081690124028e-01,1.53528306549723714269e-01,5.58573195084078766292e-01,'m/s','m/s','measured','8 still-looking stretches, 275 s; mostly the motion of the air, which one flight cannot tell from the sink of the model');
INSERT INTO "figures" VALUES(3,1,NULL,'glide_airspeed',NULL,NULL,NULL,'m/s','m/s','guessed','not recorded');
INSERT INTO "figures" VALUES(4,1,NULL,'mass',0.571,NULL,NULL,'','','measured','');
INSERT INTO "figures" VALUES(5,1,NULL,'headwind',2.0,NULL,NULL,'','','measured','');
INSERT INTO "figures" VALUES(6,1,1,'motor_start',60.3,5.98880232394903799786e+01,6.07119767605096143352e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(7,1,1,'motor_stop',87.5,8.73520135790013227926e+01,8.76479864209986772073e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(8,1,1,'motor_run',2.7200000000000002843e+01,2.67622502632782079947e+01,2.76377497367217976891e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(9,1,1,'counted_height',1.22209523809522792705e+02,1.22025107142965083539e+02,1.2239394047608050187e+02,'m','m','measured','highest smoothed height up to the end of the window; baseline, noise and drift');
INSERT INTO "figures" VALUES(10,1,1,'highest_raw',1.22499999999985078604e+02,1.22259004748943752357e+02,1.22740995251026404841e+02,'m','m','measured','highest single sample; noise makes it too high rather than too low');
INSERT INTO "figures" VALUES(11,1,1,'height_at_start',1.67142857142674716719e+00,9.87332486168407075233e-01,2.35552465668508714813e+00,'m','m','measured','smoothed height at motor start, over the baseline');
INSERT INTO "figures" VALUES(12,1,1,'height_at_stop',1.20604761904760948709e+02,1.20177167331212416453e+02,1.21032356478309480966e+02,'m','m','measured','smoothed height at motor stop, over the baseline');
INSERT INTO "figures" VALUES(13,1,1,'height_at_window_end',1.19902380952380354988e+02,1.19695359174313949775e+02,1.20109402730446760191e+02,'m','m','measured','smoothed height 10 s after motor stop');
INSERT INTO "figures" VALUES(14,1,1,'top_height',1.22209523809522792705e+02,1.22025107142965083539e+02,1.2239394047608050187e+02,'m','m','measured','highest smoothed height before the model first falls');
INSERT INTO "figures" VALUES(15,1,1,'top',89.5999999999949,8.93332136855033382989e+01,8.98667863144864753621e+01,'s','s','measured','the height is nearly level around its top');
INSERT INTO "figures" VALUES(16,1,1,'zoom_gain',1.60476190476184399358e+00,9.45645074289041098758e-01,2.26387873523464699943e+00,'m','m','measured','top over the height at motor stop; an error of the stop shows here');
INSERT INTO "figures" VALUES(17,1,1,'slipstream_step',-6.84375306642006075996e-02,-5.19626131228446697107e-01,3.82751069900045537419e-01,'m','m','measured','step between the climb before and the glide after the motor stop; how the climb fades is not known');
INSERT INTO "figures" VALUES(18,1,1,'mean_climb',4.37254901960787467629e+00,4.33706292896828138339e+00,4.4080351102474679692e+00,'m/s','m/s','measured','height won between motor start and stop over the time between');
INSERT INTO "figures" VALUES(19,1,1,'best_climb',5.10190476190462849359e+00,5.07682471935399437512e+00,5.12698480445526261206e+00,'m/s','m/s','measured','best mean over 5 s within the motor run');
INSERT INTO "figures" VALUES(20,1,1,'charge',2.74940000000000054573e+02,2.6669180000000005748e+02,2.83188200000000051669e+02,'A s','mAh','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(21,1,1,'mean_current',1.01080882352941188169e+01,9.80484558823529539495e+00,1.04113308823529422393e+01,'A','A','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(22,1,1,'highest_current',10.7,10.6466,10.7534,'A','A','measured','highest of three samples each');
INSERT INTO "figures" VALUES(23,1,1,'mean_voltage',7.64102941176470640272e+00,7.63568941176470605824e+00,7.64636941176470674719e+00,'V','V','measured','mean over the motor run');
INSERT INTO "figures" VALUES(24,1,1,'lowest_voltage',7.46,7.45466,7.46534,'V','V','measured','lowest of three samples each');
INSERT INTO "figures" VALUES(25,1,1,'resting_voltage',8.33,8.31932000000000115846e+00,8.34067999999999898363e+00,'V','V','measured','median of the last seconds before motor start');
INSERT INTO "figures" VALUES(26,1,1,'recovered_voltage',7.96,7.95466000000000050818e+00,7.96533999999999942076e+00,'V','V','measured','median of 5 s, 60 s after motor stop');
INSERT INTO "figures" VALUES(27,1,1,'pack_resistance',4.3616755079571613296e-02,3.72753661622038934275e-02,4.99581439969393331645e-02,'ohm','mΩ','measured','fall and rise of the volts over the amps within a second; the slow part of the sag is not in it');
INSERT INTO "figures" VALUES(28,1,1,'mean_power',77.20625,74.8900625,79.5224375,'W','W','measured','mean of volts times amps; the ammeter is good to 3 %');
INSERT INTO "figures" VALUES(29,1,1,'mean_motor_speed',84.5,83.417048,85.582952,'1/s','rpm','measured','median over the motor run');
INSERT INTO "figures" VALUES(30,1,1,'mean_airspeed',NULL,NULL,NULL,'m/s','m/s','guessed','airspeed was not recorded');
INSERT INTO "figures" VALUES(31,1,1,'flight_time',3.80156784023069633359e+02,3.78808563563945824618e+02,3.8150500448219344207e+02,'s','s','measured','motor start to touch; a throw before the motor is not seen');
INSERT INTO "figures" VALUES(32,2,NULL,'scale',1.01533552453771114265e+00,1.006783841080409303e+00,1.0238872079950129823e+00,'1','','measured','temperature of the air as stated');
INSERT INTO "figures" VALUES(33,2,NULL,'still_sink',4.10888408617895772856e-01,2.05048209839473083437e-01,6.16728607396318517785e-01,'m/s','m/s','measured','16 still-looking stretches, 538 s; mostly the motion of the air, which one flight cannot tell from the sink of the model');
INSERT INTO "figures" VALUES(34,2,NULL,'glide_airspeed',NULL,NULL,NULL,'m/s','m/s','guessed','not recorded');
INSERT INTO "figures" VALUES(35,2,NULL,'mass',0.571,NULL,NULL,'','','measured','');
INSERT INTO "figures" VALUES(36,2,NULL,'headwind',2.0,NULL,NULL,'','','measured','');
INSERT INTO "figures" VALUES(37,2,2,'motor_start',60.3,5.98880232394903799786e+01,6.07119767605096143352e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(38,2,2,'motor_stop',86.9,8.67520135790013142713e+01,87.0479864209987,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(39,2,2,'motor_run',2.66000000000000085269e+01,2.61622502632782136808e+01,2.7037749736721803373e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(40,2,2,'counted_height',1.23128571428570523951e+02,1.22945452985169822567e+02,1.23311689871971225324e+02,'m','m','measured','highest smoothed height up to the end of the window; baseline, noise and drift');
INSERT INTO "figures" VALUES(41,2,2,'highest_raw',1.23199999999998638594e+02,1.22959996732450647981e+02,1.23440003267546629219e+02,'m','m','measured','highest single sample; noise makes it too high rather than too low');
INSERT INTO "figures" VALUES(42,2,2,'height_at_start',1.8523809523794401155e+00,1.10556705579683400841e+00,2.59919484896204622259e+00,'m','m','measured','smoothed height at motor start, over the baseline');
INSERT INTO "figures" VALUES(43,2,2,'height_at_stop',1.21166666666666117185e+02,1.20716083453983657135e+02,1.21617249879348577224e+02,'m','m','measured','smoothed height at motor stop, over the baseline');
INSERT INTO "figures" VALUES(44,2,2,'height_at_window_end',1.20378571428570367628e+02,1.20166616888003318307e+02,1.20590525969137416948e+02,'m','m','measured','smoothed height 10 s after motor stop');
INSERT INTO "figures" VALUES(45,2,2,'top_height',1.23128571428570523951e+02,1.22945452985169822567e+02,1.23311689871971225324e+02,'m','m','measured','highest smoothed height before the model first falls');
INSERT INTO "figures" VALUES(46,2,2,'top',8.87999999999981071141e+01,8.85332136855065243707e+01,8.90667863144896898575e+01,'s','s','measured','the height is nearly level around its top');
INSERT INTO "figures" VALUES(47,2,2,'zoom_gain',1.96190476190440676873e+00,1.28637062063368157183e+00,2.63743890317513196563e+00,'m','m','measured','top over the height at motor stop; an error of the stop shows here');
INSERT INTO "figures" VALUES(48,2,2,'slipstream_step',-1.33383176543192798896e-02,-4.57124830653859948181e-01,4.30448195345221440444e-01,'m','m','measured','step between the climb before and the glide after the motor stop; how the climb fades is not known');
INSERT INTO "figures" VALUES(49,2,2,'mean_climb',4.48549946294310686312e+00,4.44829121621351752935e+00,4.52270770967269619688e+00,'m/s','m/s','measured','height won between motor start and stop over the time between');
INSERT INTO "figures" VALUES(50,2,2,'best_climb',5.37047619047615132359e+00,5.3453961479255180933e+00,5.39555623302678455388e+00,'m/s','m/s','measured','best mean over 5 s within the motor run');
INSERT INTO "figures" VALUES(51,2,2,'charge',270.78,2.62656599999999968981e+02,278.9034,'A s','mAh','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(52,2,2,'mean_current',1.01796992481202970277e+01,9.87430827067668737129e+00,1.04850902255639066851e+01,'A','A','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(53,2,2,'highest_current',10.8,10.7466,10.8534,'A','A','measured','highest of three samples each');
INSERT INTO "figures" VALUES(54,2,2,'mean_voltage',7.68052631578947320178e+00,7.67518631578947285731e+00,7.68586631578947354626e+00,'V','V','measured','mean over the motor run');
INSERT INTO "figures" VALUES(55,2,2,'lowest_voltage',7.51,7.50465999999999944236e+00,7.51534,'V','V','measured','lowest of three samples each');
INSERT INTO "figures" VALUES(56,2,2,'resting_voltage',8.32,8.31466,8.32534,'V','V','measured','median of the last seconds before motor start');
INSERT INTO "figures" VALUES(57,2,2,'recovered_voltage',7.97,7.96199,7.97800999999999937983e+00,'V','V','measured','median of 5 s, 60 s after motor stop');
INSERT INTO "figures" VALUES(58,2,2,'pack_resistance',4.11309884778653933601e-02,3.64836154675398649516e-02,4.57783614881909217686e-02,'ohm','mΩ','measured','fall and rise of the volts over the amps within a second; the slow part of the sag is not in it');
INSERT INTO "figures" VALUES(59,2,2,'mean_power',7.81561127819548886455e+01,7.58114293984962444011e+01,8.05007961654135328899e+01,'W','W','measured','mean of volts times amps; the ammeter is good to 3 %');
INSERT INTO "figures" VALUES(60,2,2,'mean_motor_speed',84.5,83.417048,85.582952,'1/s','rpm','measured','median over the motor run');
INSERT INTO "figures" VALUES(61,2,2,'mean_airspeed',NULL,NULL,NULL,'m/s','m/s','guessed','airspeed was not recorded');
INSERT INTO "figures" VALUES(62,2,2,'flight_time',3.83793027698173489165e+02,3.82444807239049680454e+02,3.85141248157297297902e+02,'s','s','measured','motor start to touch; a throw before the motor is not seen');
INSERT INTO "figures" VALUES(63,2,3,'motor_start',534.7,5.34288023239490485151e+02,5.35111976760509605805e+02,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(64,2,3,'motor_stop',564.5,5.64352013579001322808e+02,5.64647986420998677188e+02,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(65,2,3,'motor_run',2.97999999999999545243e+01,2.93622502632781632323e+01,3.02377497367217458186e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(66,2,3,'counted_height',1.21771428571412897667e+02,1.21578935278044113492e+02,1.21963921864781681852e+02,'m','m','measured','highest smoothed height up to the end of the window; baseline, noise and drift');
INSERT INTO "figures" VALUES(67,2,3,'highest_raw',1.21899999999972848737e+02,1.21652769597084827065e+02,1.22147230402860870409e+02,'m','m','measured','highest single sample; noise makes it too high rather than too low');
INSERT INTO "figures" VALUES(68,2,3,'height_at_start',1.7523809523569593427e+00,1.16323980710464081056e+00,2.34152209760927787485e+00,'m','m','measured','smoothed height at motor start, over the baseline');
INSERT INTO "figures" VALUES(69,2,3,'height_at_stop',1.19583333333314328688e+02,1.19144841850249164853e+02,1.20021824816379492513e+02,'m','m','measured','smoothed height at motor stop, over the baseline');
INSERT INTO "figures" VALUES(70,2,3,'height_at_window_end',1.1909047619045921351e+02,1.18874740804705695044e+02,1.19306211576212731987e+02,'m','m','measured','smoothed height 10 s after motor stop');
INSERT INTO "figures" VALUES(71,2,3,'top_height',1.21771428571412897667e+02,1.21578935278044113492e+02,1.21963921864781681852e+02,'m','m','measured','highest smoothed height before the model first falls');
INSERT INTO "figures" VALUES(72,2,3,'top',5.66399999999987926449e+02,566.069092302888,5.66730907697087900494e+02,'s','s','measured','the height is nearly level around its top');
INSERT INTO "figures" VALUES(73,2,3,'zoom_gain',2.18809523809856898424e+00,1.58966208580894230451e+00,2.78652839038819566397e+00,'m','m','measured','top over the height at motor stop; an error of the stop shows here');
INSERT INTO "figures" VALUES(74,2,3,'slipstream_step',-5.20713745839420580341e-02,-4.78924110870403263451e-01,3.74781361702519133505e-01,'m','m','measured','step between the climb before and the glide after the motor stop; how the climb fades is not known');
INSERT INTO "figures" VALUES(75,2,3,'mean_climb',3.95405880473011928089e+00,3.92471377240273389119e+00,3.98340383705750467058e+00,'m/s','m/s','measured','height won between motor start and stop over the time between');
INSERT INTO "figures" VALUES(76,2,3,'best_climb',4.61619047619023,4.5911104336395966996e+00,4.64127051874086316018e+00,'m/s','m/s','measured','best mean over 5 s within the motor run');
INSERT INTO "figures" VALUES(77,2,3,'charge',2.82619999999999834024e+02,2.74141399999999862296e+02,2.9109859999999980573e+02,'A s','mAh','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(78,2,3,'mean_current',9.48389261744967271283e+00,9.19937583892618171432e+00,9.76840939597316371134e+00,'A','A','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(79,2,3,'highest_current',10.0,9.8932,10.1068,'A','A','measured','highest of three samples each');
INSERT INTO "figures" VALUES(80,2,3,'mean_voltage',7.3655033557046980519e+00,7.35482335570469825114e+00,7.37618335570469785267e+00,'V','V','measured','mean over the motor run');
INSERT INTO "figures" VALUES(81,2,3,'lowest_voltage',7.22,7.20932,7.23067999999999955207e+00,'V','V','measured','lowest of three samples each');
INSERT INTO "figures" VALUES(82,2,3,'resting_voltage',7.9,7.89199,7.90801000000000087197e+00,'V','V','measured','median of the last seconds before motor start');
INSERT INTO "figures" VALUES(83,2,3,'recovered_voltage',7.64,7.63199,7.64800999999999930878e+00,'V','V','measured','median of 5 s, 60 s after motor stop');
INSERT INTO "figures" VALUES(84,2,3,'pack_resistance',3.90373519587002767994e-02,3.30949127755995539668e-02,0.044979791141801,'ohm','mΩ','measured','fall and rise of the volts over the amps within a second; the slow part of the sag is not in it');
INSERT INTO "figures" VALUES(85,2,3,'mean_power',6.98329530201342265618e+01,67.7379644295302,7.19279416107382587588e+01,'W','W','measured','mean of volts times amps; the ammeter is good to 3 %');
INSERT INTO "figures" VALUES(86,2,3,'mean_motor_speed',8.28333333333333285929e+01,8.17717413333333240609e+01,8.38949253333333331249e+01,'1/s','rpm','measured','median over the motor run');
INSERT INTO "figures" VALUES(87,2,3,'mean_airspeed',NULL,NULL,NULL,'m/s','m/s','guessed','airspeed was not recorded');
INSERT INTO "figures" VALUES(88,2,3,'flight_time',3.76732034632031854916e+02,3.75383814172908103056e+02,3.78080255091155606798e+02,'s','s','measured','motor start to touch; a throw before the motor is not seen');
INSERT INTO "figures" VALUES(89,3,NULL,'scale',1.01533552453771114265e+00,1.006783841080409303e+00,1.0238872079950129823e+00,'1','','measured','temperature of the air as stated');
INSERT INTO "figures" VALUES(90,3,NULL,'still_sink',3.54854171430950493526e-01,1.53905996366335673375e-01,5.55802346495565258166e-01,'m/s','m/s','measured','37 still-looking stretches, 1211 s; mostly the motion of the air, which one flight cannot tell from the sink of the model');
INSERT INTO "figures" VALUES(91,3,NULL,'glide_airspeed',NULL,NULL,NULL,'m/s','m/s','guessed','not recorded');
INSERT INTO "figures" VALUES(92,3,NULL,'mass',0.571,NULL,NULL,'','','measured','');
INSERT INTO "figures" VALUES(93,3,NULL,'headwind',2.0,NULL,NULL,'','','measured','');
INSERT INTO "figures" VALUES(94,3,4,'motor_start',60.3,5.98880232394903799786e+01,6.07119767605096143352e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(95,3,4,'motor_stop',87.5,8.73520135790013227926e+01,8.76479864209986772073e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(96,3,4,'motor_run',2.7200000000000002843e+01,2.67622502632782079947e+01,2.76377497367217976891e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(97,3,4,'counted_height',1.22582857142857179152e+02,1.22390602094143787327e+02,1.22775112191570570988e+02,'m','m','measured','highest smoothed height up to the end of the window; baseline, noise and drift');
INSERT INTO "figures" VALUES(98,3,4,'highest_raw',1.22599999999993968912e+02,1.22352955048869674217e+02,1.22847044951118263608e+02,'m','m','measured','highest single sample; noise makes it too high rather than too low');
INSERT INTO "figures" VALUES(99,3,4,'height_at_start',1.72285714286752922319e+00,1.13292552167126681084e+00,2.31278876406379163555e+00,'m','m','measured','smoothed height at motor start, over the baseline');
INSERT INTO "figures" VALUES(100,3,4,'height_at_stop',1.20254285714282119104e+02,1.19734334734194547422e+02,1.20774236694369690786e+02,'m','m','measured','smoothed height at motor stop, over the baseline');
INSERT INTO "figures" VALUES(101,3,4,'height_at_window_end',1.19604285714289900962e+02,1.1938344674934235456e+02,1.19825124679237447365e+02,'m','m','measured','smoothed height 10 s after motor stop');
INSERT INTO "figures" VALUES(102,3,4,'top_height',1.22582857142857179152e+02,1.22390602094143787327e+02,1.22775112191570570988e+02,'m','m','measured','highest smoothed height before the model first falls');
INSERT INTO "figures" VALUES(103,3,4,'top',8.88000000000201907858e+01,8.85907155963967767303e+01,89.0092844036436,'s','s','measured','the height is nearly level around its top');
INSERT INTO "figures" VALUES(104,3,4,'zoom_gain',2.32857142857506,1.66615267775362307922e+00,2.99099017939649680641e+00,'m','m','measured','top over the height at motor stop; an error of the stop shows here');
INSERT INTO "figures" VALUES(105,3,4,'slipstream_step',-8.69224012049546884695e-02,-4.30544103666839039767e-01,2.56699301256929635073e-01,'m','m','measured','step between the climb before and the glide after the motor stop; how the climb fades is not known');
INSERT INTO "figures" VALUES(106,3,4,'mean_climb',4.35777310924318328488e+00,4.3222678107123027047e+00,4.39327840777406386507e+00,'m/s','m/s','measured','height won between motor start and stop over the time between');
INSERT INTO "figures" VALUES(107,3,4,'best_climb',5.22399999999360087343e+00,5.19372533578575623636e+00,5.25427466420144551051e+00,'m/s','m/s','measured','best mean over 5 s within the motor run');
INSERT INTO "figures" VALUES(108,3,4,'charge',2.74840000000000031824e+02,266.5948,2.83085200000000043029e+02,'A s','mAh','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(109,3,4,'mean_current',1.01044117647058833146e+01,9.80127941176470685036e+00,1.04075441176470597783e+01,'A','A','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(110,3,4,'highest_current',10.6,10.4932,10.7068,'A','A','measured','highest of three samples each');
INSERT INTO "figures" VALUES(111,3,4,'mean_voltage',7.6128676470588230174e+00,7.60218764705882321663e+00,7.62354764705882281816e+00,'V','V','measured','mean over the motor run');
INSERT INTO "figures" VALUES(112,3,4,'lowest_voltage',7.44,7.42932000000000059003e+00,7.45068,'V','V','measured','lowest of three samples each');
INSERT INTO "figures" VALUES(113,3,4,'resting_voltage',8.32,8.31466,8.32534,'V','V','measured','median of the last seconds before motor start');
INSERT INTO "figures" VALUES(114,3,4,'recovered_voltage',7.96,7.95466,7.96534,'V','V','measured','median of 5 s, 60 s after motor stop');
INSERT INTO "figures" VALUES(115,3,4,'pack_resistance',4.65992647058823400429e-02,4.07869472167982291543e-02,5.24115821949664509316e-02,'ohm','mΩ','measured','fall and rise of the volts over the amps within a second; the slow part of the sag is not in it');
INSERT INTO "figures" VALUES(116,3,4,'mean_power',7.68849191176470583277e+01,7.45783715441176440217e+01,7.91914666911764726382e+01,'W','W','measured','mean of volts times amps; the ammeter is good to 3 %');
INSERT INTO "figures" VALUES(117,3,4,'mean_motor_speed',8.39166666666666571927e+01,8.28411906666666624215e+01,8.49921426666666519639e+01,'1/s','rpm','measured','median over the motor run');
INSERT INTO "figures" VALUES(118,3,4,'mean_airspeed',NULL,NULL,NULL,'m/s','m/s','guessed','airspeed was not recorded');
INSERT INTO "figures" VALUES(119,3,4,'flight_time',3.56455555554793363632e+02,3.55107335095669554895e+02,3.57803776013917172347e+02,'s','s','measured','motor start to touch; a throw before the motor is not seen');
INSERT INTO "figures" VALUES(120,3,5,'motor_start',506.9,5.06488023239490360062e+02,5.07311976760509594427e+02,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(121,3,5,'motor_stop',536.7,5.36552013579001368286e+02,5.36847986420998722666e+02,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(122,3,5,'motor_run',2.98000000000000682121e+01,2.9362250263278280471e+01,3.0237749736721855954e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(123,3,5,'counted_height',1.20634285714136240135e+02,1.20433750391852868234e+02,1.20834821036419612025e+02,'m','m','measured','highest smoothed height up to the end of the window; baseline, noise and drift');
INSERT INTO "figures" VALUES(124,3,5,'highest_raw',1.20599999999897733004e+02,1.20346457854281837281e+02,1.20853542145513628727e+02,'m','m','measured','highest single sample; noise makes it too high rather than too low');
INSERT INTO "figures" VALUES(125,3,5,'height_at_start',1.9557142856606291037e+00,1.28874987547793651287e+00,2.62267869584332169452e+00,'m','m','measured','smoothed height at motor start, over the baseline');
INSERT INTO "figures" VALUES(126,3,5,'height_at_stop',1.19088571428446684304e+02,1.18628553954116341625e+02,1.19548588902777026984e+02,'m','m','measured','smoothed height at motor stop, over the baseline');
INSERT INTO "figures" VALUES(127,3,5,'height_at_window_end',1.18125714285629754838e+02,1.1790479756195362881e+02,1.18346631009305880866e+02,'m','m','measured','smoothed height 10 s after motor stop');
INSERT INTO "figures" VALUES(128,3,5,'top_height',1.20634285714136240135e+02,1.20433750391852868234e+02,1.20834821036419612025e+02,'m','m','measured','highest smoothed height before the model first falls');
INSERT INTO "figures" VALUES(129,3,5,'top',5.38200000000122372526e+02,5.37933213685630789773e+02,538.466786314614,'s','s','measured','the height is nearly level around its top');
INSERT INTO "figures" VALUES(130,3,5,'zoom_gain',1.5457142856895558225e+00,9.44660353722989509783e-01,2.14676821765612224623e+00,'m','m','measured','top over the height at motor stop; an error of the stop shows here');
INSERT INTO "figures" VALUES(131,3,5,'slipstream_step',-5.1963935541926437045e-02,-4.71089897202762175609e-01,3.6716202611890935703e-01,'m','m','measured','step between the climb before and the glide after the motor stop; how the climb fades is not known');
INSERT INTO "figures" VALUES(132,3,5,'mean_climb',3.93063279002636889458e+00,3.90131962392910969228e+00,3.95994595612362809688e+00,'m/s','m/s','measured','height won between motor start and stop over the time between');
INSERT INTO "figures" VALUES(133,3,5,'best_climb',4.62399999999233735081e+00,4.59372533578449271374e+00,4.65427466420018198789e+00,'m/s','m/s','measured','best mean over 5 s within the motor run');
INSERT INTO "figures" VALUES(134,3,5,'charge',2.85440000000000623e+02,2.76876800000000628182e+02,2.94003200000000617818e+02,'A s','mAh','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(135,3,5,'mean_current',9.57852348993288416068e+00,9.29116778523489728058e+00,9.86587919463087104077e+00,'A','A','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(136,3,5,'highest_current',10.3,1.01932000000000009263e+01,10.4068,'A','A','measured','highest of three samples each');
INSERT INTO "figures" VALUES(137,3,5,'mean_voltage',7.30838926174496528176e+00,7.30037926174496565323e+00,7.31639926174496491029e+00,'V','V','measured','mean over the motor run');
INSERT INTO "figures" VALUES(138,3,5,'lowest_voltage',7.17,7.16199,7.17801,'V','V','measured','lowest of three samples each');
INSERT INTO "figures" VALUES(139,3,5,'resting_voltage',7.88,7.87465999999999954894e+00,7.88534,'V','V','measured','median of the last seconds before motor start');
INSERT INTO "figures" VALUES(140,3,5,'recovered_voltage',7.63,7.62199,7.63800999999999952194e+00,'V','V','measured','median of 5 s, 60 s after motor stop');
INSERT INTO "figures" VALUES(141,3,5,'pack_resistance',4.2856298048492016961e-02,3.87263174355778547197e-02,4.69862786614061792023e-02,'ohm','mΩ','measured','fall and rise of the volts over the amps within a second; the slow part of the sag is not in it');
INSERT INTO "figures" VALUES(142,3,5,'mean_power',6.9979120805369120716e+01,6.78797471812080459568e+01,72.0784944295302,'W','W','measured','mean of volts times amps; the ammeter is good to 3 %');
INSERT INTO "figures" VALUES(143,3,5,'mean_motor_speed',8.16666666666666714053e+01,8.06200266666666749432e+01,8.27133066666666678674e+01,'1/s','rpm','measured','median over the motor run');
INSERT INTO "figures" VALUES(144,3,5,'mean_airspeed',NULL,NULL,NULL,'m/s','m/s','guessed','airspeed was not recorded');
INSERT INTO "figures" VALUES(145,3,5,'flight_time',3.77208885754390621514e+02,3.75860665295266869632e+02,3.78557106213514373395e+02,'s','s','measured','motor start to touch; a throw before the motor is not seen');
INSERT INTO "figures" VALUES(146,3,6,'motor_start',974.5,9.74088023239490325994e+02,9.74911976760509673984e+02,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(147,3,6,'motor_stop',1004.3,1.00415201357900127734e+03,1.00444798642099863169e+03,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(148,3,6,'motor_run',2.97999999999999545243e+01,2.93622502632781632323e+01,3.02377497367217458186e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(149,3,6,'counted_height',1.12548571428331626979e+02,1.12348036106048255078e+02,112.749106750615,'m','m','measured','highest smoothed height up to the end of the window; baseline, noise and drift');
INSERT INTO "figures" VALUES(150,3,6,'highest_raw',1.1259999999966217388e+02,1.12346457854046278157e+02,1.12853542145278069592e+02,'m','m','measured','highest single sample; noise makes it too high rather than too low');
INSERT INTO "figures" VALUES(151,3,6,'height_at_start',1.83857142858900468596e+00,1.318807370524702538e+00,2.35833548665330683391e+00,'m','m','measured','smoothed height at motor start, over the baseline');
INSERT INTO "figures" VALUES(152,3,6,'height_at_stop',1.10878571428303885682e+02,1.10432485823665402333e+02,1.11324657032942369032e+02,'m','m','measured','smoothed height at motor stop, over the baseline');
INSERT INTO "figures" VALUES(153,3,6,'height_at_window_end',1.09329999999881067652e+02,1.0909504744399133358e+02,1.09564952555770801724e+02,'m','m','measured','smoothed height 10 s after motor stop');
INSERT INTO "figures" VALUES(154,3,6,'top_height',1.12548571428331626979e+02,1.12348036106048255078e+02,112.749106750615,'m','m','measured','highest smoothed height before the model first falls');
INSERT INTO "figures" VALUES(155,3,6,'top',1.00580000000022869242e+03,1.00559071559660526422e+03,1.00600928440385212073e+03,'s','s','measured','the height is nearly level around its top');
INSERT INTO "figures" VALUES(156,3,6,'zoom_gain',1.6700000000277412937e+00,1.10774857973144724709e+00,2.23225142032403534031e+00,'m','m','measured','top over the height at motor stop; an error of the stop shows here');
INSERT INTO "figures" VALUES(157,3,6,'slipstream_step',-2.31273534633888278033e-01,-6.12964952493011194789e-01,1.50417883225234583211e-01,'m','m','measured','step between the climb before and the glide after the motor stop; how the climb fades is not known');
INSERT INTO "figures" VALUES(158,3,6,'mean_climb',3.65906040267500198837e+00,3.63170951887917592415e+00,3.68641128647082805258e+00,'m/s','m/s','measured','height won between motor start and stop over the time between');
INSERT INTO "figures" VALUES(159,3,6,'best_climb',4.26685714284052863831e+00,4.23658247863268400124e+00,4.29713180704837327539e+00,'m/s','m/s','measured','best mean over 5 s within the motor run');
INSERT INTO "figures" VALUES(160,3,6,'charge',2.72959999999999581633e+02,2.64771199999999566902e+02,2.81148799999999596359e+02,'A s','mAh','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(161,3,6,'mean_current',9.15973154362416153162e+00,8.88493959731543725411e+00,9.43452348993288580913e+00,'A','A','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(162,3,6,'highest_current',9.7,9.6466,9.7534,'A','A','measured','highest of three samples each');
INSERT INTO "figures" VALUES(163,3,6,'mean_voltage',7.09335570469798604165e+00,7.08801570469798569718e+00,7.09869570469798638612e+00,'V','V','measured','mean over the motor run');
INSERT INTO "figures" VALUES(164,3,6,'lowest_voltage',7.0,6.99466,7.00534,'V','V','measured','lowest of three samples each');
INSERT INTO "figures" VALUES(165,3,6,'resting_voltage',7.58,7.57466,7.58534,'V','V','measured','median of the last seconds before motor start');
INSERT INTO "figures" VALUES(166,3,6,'recovered_voltage',7.46,7.44932,7.47068,'V','V','measured','median of 5 s, 60 s after motor stop');
INSERT INTO "figures" VALUES(167,3,6,'pack_resistance',4.18177637629746218328e-02,3.87778005787275670268e-02,4.48577269472216766388e-02,'ohm','mΩ','measured','fall and rise of the volts over the amps within a second; the slow part of the sag is not in it');
INSERT INTO "figures" VALUES(168,3,6,'mean_power',6.49493221476510171905e+01,6.30008424832214899416e+01,6.68978018120805444351e+01,'W','W','measured','mean of volts times amps; the ammeter is good to 3 %');
INSERT INTO "figures" VALUES(169,3,6,'mean_motor_speed',8.03333333333333285929e+01,7.93037813333333332357e+01,8.13628853333333239544e+01,'1/s','rpm','measured','median over the motor run');
INSERT INTO "figures" VALUES(170,3,6,'mean_airspeed',NULL,NULL,NULL,'m/s','m/s','guessed','airspeed was not recorded');
INSERT INTO "figures" VALUES(171,3,6,'flight_time',3.22721402213374403806e+02,3.21373181754250651924e+02,3.24069622672498155687e+02,'s','s','measured','motor start to touch; a throw before the motor is not seen');
INSERT INTO "figures" VALUES(172,3,7,'motor_start',1388.5,1.38808802323949043969e+03,1.38891197676050956032e+03,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(173,3,7,'motor_stop',1.41830000000000018187e+03,1.41815201357900150464e+03,1.4184479864209988591e+03,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(174,3,7,'motor_run',2.98000000000001818989e+01,2.93622502632783977105e+01,3.02377497367219660873e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(175,3,7,'counted_height',108.608571428235,1.08407616532460821185e+02,1.08809526324009169689e+02,'m','m','measured','highest smoothed height up to the end of the window; baseline, noise and drift');
INSERT INTO "figures" VALUES(176,3,7,'highest_raw',1.08599999999843447543e+02,1.08346125869109684455e+02,1.08853874130577210621e+02,'m','m','measured','highest single sample; noise makes it too high rather than too low');
INSERT INTO "figures" VALUES(177,3,7,'height_at_start',1.94428571434801611417e+00,1.38839989616864167842e+00,2.50017153252739054991e+00,'m','m','measured','smoothed height at motor start, over the baseline');
INSERT INTO "figures" VALUES(178,3,7,'height_at_stop',1.07032857142567351617e+02,1.06604784602610877183e+02,1.0746092968252382604e+02,'m','m','measured','smoothed height at motor stop, over the baseline');
INSERT INTO "figures" VALUES(179,3,7,'height_at_window_end',1.05404285714140641514e+02,1.05174175488761107995e+02,1.05634395939520175033e+02,'m','m','measured','smoothed height 10 s after motor stop');
INSERT INTO "figures" VALUES(180,3,7,'top_height',108.608571428235,1.08407616532460821185e+02,1.08809526324009169689e+02,'m','m','measured','highest smoothed height before the model first falls');
INSERT INTO "figures" VALUES(181,3,7,'top',1.42000000000032287061e+03,1.41979071559669955604e+03,1.42020928440394618519e+03,'s','s','measured','the height is nearly level around its top');
INSERT INTO "figures" VALUES(182,3,7,'zoom_gain',1.57571428566764382139e+00,1.03233539097727677891e+00,2.11909318035801064183e+00,'m','m','measured','top over the height at motor stop; an error of the stop shows here');
INSERT INTO "figures" VALUES(183,3,7,'slipstream_step',-0.446108830770544,-8.0220492506194185367e-01,-0.0900127364791461,'m','m','measured','step between the climb before and the glide after the motor stop; how the climb fades is not known');
INSERT INTO "figures" VALUES(184,3,7,'mean_climb',3.52646212846371476246e+00,3.50006758837022857733e+00,3.55285666855720094758e+00,'m/s','m/s','measured','height won between motor start and stop over the time between');
INSERT INTO "figures" VALUES(185,3,7,'best_climb',4.07028571424761409502e+00,4.04001105003976945795e+00,4.1005603784554587321e+00,'m/s','m/s','measured','best mean over 5 s within the motor run');
INSERT INTO "figures" VALUES(186,3,7,'charge',2.68300000000001773506e+02,2.60251000000001738495e+02,2.76349000000001808539e+02,'A s','mAh','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(187,3,7,'mean_current',9.00335570469799151283e+00,8.73325503355705201613e+00,9.27345637583893100952e+00,'A','A','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(188,3,7,'highest_current',9.3,9.2466,9.3534,'A','A','measured','highest of three samples each');
INSERT INTO "figures" VALUES(189,3,7,'mean_voltage',6.99979865771811926578e+00,6.98911865771811946501e+00,7.01047865771811906654e+00,'V','V','measured','mean over the motor run');
INSERT INTO "figures" VALUES(190,3,7,'lowest_voltage',6.89,6.87932,6.90067999999999948101e+00,'V','V','measured','lowest of three samples each');
INSERT INTO "figures" VALUES(191,3,7,'resting_voltage',7.46,7.45466,7.46534,'V','V','measured','median of the last seconds before motor start');
INSERT INTO "figures" VALUES(192,3,7,'recovered_voltage',7.34,7.33199,7.34800999999999948641e+00,'V','V','measured','median of 5 s, 60 s after motor stop');
INSERT INTO "figures" VALUES(193,3,7,'pack_resistance',4.00041050903120198878e-02,3.52766252081466585854e-02,4.47315849724773811901e-02,'ohm','mΩ','measured','fall and rise of the volts over the amps within a second; the slow part of the sag is not in it');
INSERT INTO "figures" VALUES(194,3,7,'mean_power',6.29965234899328834199e+01,61.1066277852349,6.4886419194630875042e+01,'W','W','measured','mean of volts times amps; the ammeter is good to 3 %');
INSERT INTO "figures" VALUES(195,3,7,'mean_motor_speed',7.93333333333333285981e+01,7.83165973333333340642e+01,8.03500693333333231276e+01,'1/s','rpm','measured','median over the motor run');
INSERT INTO "figures" VALUES(196,3,7,'mean_airspeed',NULL,NULL,NULL,'m/s','m/s','guessed','airspeed was not recorded');
INSERT INTO "figures" VALUES(197,3,7,'flight_time',3.01239870966762509859e+02,2.99891650507638757982e+02,3.02588091425886261741e+02,'s','s','measured','motor start to touch; a throw before the motor is not seen');
INSERT INTO "figures" VALUES(198,3,8,'motor_start',1780.5,1.78008802323949043961e+03,1.78091197676050956035e+03,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(199,3,8,'motor_stop',1.81030000000000018192e+03,1.81015201357900150464e+03,1.81044798642099885911e+03,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(200,3,8,'motor_run',2.98000000000001818989e+01,2.93622502632783977105e+01,3.02377497367219660873e+01,'s','s','measured','from the recorded current; its sampling and its delay');
INSERT INTO "figures" VALUES(201,3,8,'counted_height',9.73714285707998499202e+01,9.71687910995852206514e+01,9.75740660420144791976e+01,'m','m','measured','highest smoothed height up to the end of the window; baseline, noise and drift');
INSERT INTO "figures" VALUES(202,3,8,'highest_raw',9.74999999989826164874e+01,9.72447919488343615057e+01,9.77552080491308714692e+01,'m','m','measured','highest single sample; noise makes it too high rather than too low');
INSERT INTO "figures" VALUES(203,3,8,'height_at_start',1.88999999961251896607e+00,1.37211977603567869543e+00,2.40788022318935901466e+00,'m','m','measured','smoothed height at motor start, over the baseline');
INSERT INTO "figures" VALUES(204,3,8,'height_at_stop',9.59114285709093081742e+01,95.5431393089502,9.62797178328684140086e+01,'m','m','measured','smoothed height at motor stop, over the baseline');
INSERT INTO "figures" VALUES(205,3,8,'height_at_window_end',9.41071428568235290867e+01,9.38728435836694785621e+01,9.43414421299775796114e+01,'m','m','measured','smoothed height 10 s after motor stop');
INSERT INTO "figures" VALUES(206,3,8,'top_height',9.73714285707998499202e+01,9.71687910995852206514e+01,9.75740660420144791976e+01,'m','m','measured','highest smoothed height before the model first falls');
INSERT INTO "figures" VALUES(207,3,8,'top',1.81300000000041222842e+03,1.81238983635547742778e+03,1.81361016364534702914e+03,'s','s','measured','the height is nearly level around its top');
INSERT INTO "figures" VALUES(208,3,8,'zoom_gain',1.4599999998905417442e+00,9.691659132100858276e-01,1.95083408657099766081e+00,'m','m','measured','top over the height at motor stop; an error of the stop shows here');
INSERT INTO "figures" VALUES(209,3,8,'slipstream_step',-3.65473102545188610612e-01,-6.98053591589829491859e-01,-3.2892613500547729366e-02,'m','m','measured','step between the climb before and the glide after the motor stop; how the climb fades is not known');
INSERT INTO "figures" VALUES(210,3,8,'mean_climb',3.15508149568108064997e+00,3.13135787122067688059e+00,3.17880512014148441934e+00,'m/s','m/s','measured','height won between motor start and stop over the time between');
INSERT INTO "figures" VALUES(211,3,8,'best_climb',3.77999999996504065791e+00,3.74972533575719646492e+00,3.81027466417288485089e+00,'m/s','m/s','measured','best mean over 5 s within the motor run');
INSERT INTO "figures" VALUES(212,3,8,'charge',2.5022000000000173259e+02,2.42713400000001684026e+02,2.57726600000001781153e+02,'A s','mAh','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(213,3,8,'mean_current',8.39664429530202,8.14474496644295875569e+00,8.64854362416108,'A','A','measured','integral of the recorded amps; such a sensor is good to 3 %');
INSERT INTO "figures" VALUES(214,3,8,'highest_current',9.0,8.9466,9.0534,'A','A','measured','highest of three samples each');
INSERT INTO "figures" VALUES(215,3,8,'mean_voltage',6.73912751677852295273e+00,6.73378751677852260826e+00,6.7444675167785232972e+00,'V','V','measured','mean over the motor run');
INSERT INTO "figures" VALUES(216,3,8,'lowest_voltage',6.34,6.33465999999999951342e+00,6.34534,'V','V','measured','lowest of three samples each');
INSERT INTO "figures" VALUES(217,3,8,'resting_voltage',7.33,7.32466,7.33534,'V','V','measured','median of the last seconds before motor start');
INSERT INTO "figures" VALUES(218,3,8,'recovered_voltage',6.76,6.74665,6.77335,'V','V','measured','median of 5 s, 60 s after motor stop');
INSERT INTO "figures" VALUES(219,3,8,'pack_resistance',5.0701239399869542368e-02,4.29825930400890218741e-02,5.84198857596500628619e-02,'ohm','mΩ','measured','fall and rise of the volts over the amps within a second; the slow part of the sag is not in it');
INSERT INTO "figures" VALUES(220,3,8,'mean_power',5.66019328859060522063e+01,5.49038748993288692199e+01,5.82999908724832351927e+01,'W','W','measured','mean of volts times amps; the ammeter is good to 3 %');
INSERT INTO "figures" VALUES(221,3,8,'mean_motor_speed',7.81666666666666714018e+01,7.71648826666666707305e+01,7.91684506666666720775e+01,'1/s','rpm','measured','median over the motor run');
INSERT INTO "figures" VALUES(222,3,8,'mean_airspeed',NULL,NULL,NULL,'m/s','m/s','guessed','airspeed was not recorded');
INSERT INTO "figures" VALUES(223,3,8,'flight_time',3.07573561066974434643e+02,3.06225340607850682762e+02,3.08921781526098186525e+02,'s','s','measured','motor start to touch; a throw before the motor is not seen');
CREATE TABLE flights (
	id INTEGER NOT NULL, 
	model VARCHAR(200) NOT NULL, 
	source_sha256 VARCHAR(64) NOT NULL, 
	part INTEGER NOT NULL, 
	source_name VARCHAR(300) NOT NULL, 
	format VARCHAR(40) NOT NULL, 
	date VARCHAR(10) NOT NULL, 
	start_utc VARCHAR(40) NOT NULL, 
	invented BOOLEAN NOT NULL, 
	motor VARCHAR(200) NOT NULL, 
	controller VARCHAR(200) NOT NULL, 
	pack VARCHAR(200) NOT NULL, 
	propeller VARCHAR(200) NOT NULL, 
	is_charged BOOLEAN, 
	count VARCHAR(20) NOT NULL, 
	window_s FLOAT NOT NULL, 
	landing_m FLOAT, 
	note TEXT DEFAULT '' NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT one_flight_once UNIQUE (model, source_sha256, part)
);
INSERT INTO "flights" VALUES(1,'Hill demo','f39b096a60f98710a21776642b2a675dd7ffd46cb8f63383ad270068af2bf89b',1,'evening-1.csv','delimited','2025-05-03','2025-05-03T17:10:00+00:00',1,'m28-1020','c30','p2-550','f11x6',1,'highest',10.0,1.5,'first flight of the wing');
INSERT INTO "flights" VALUES(2,'Hill demo','d325eaaa59bb7243ef3eda2dac8f72ffec57e6642cdf11d93cb08f16378e4a1d',1,'evening-2.csv','delimited','2025-05-10','2025-05-10T16:30:00+00:00',1,'m28-1020','c30','p2-550','f11x6',1,'highest',10.0,NULL,'');
INSERT INTO "flights" VALUES(3,'Hill demo','1bccb4b2faa04831ca239588563370f66b400f6b8cd1d47c2cec161d9887850b',1,'club-contest.csv','delimited','2025-05-24','2025-05-24T09:00:00+00:00',1,'m28-1020','c30','p2-550','f11x6',1,'highest',10.0,NULL,'');
CREATE TABLE launches (
	id INTEGER NOT NULL, 
	flight_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	motor_sign VARCHAR(20) NOT NULL, 
	is_restart BOOLEAN NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT one_launch_once UNIQUE (flight_id, number), 
	FOREIGN KEY(flight_id) REFERENCES flights (id) ON DELETE CASCADE
);
INSERT INTO "launches" VALUES(1,1,1,'current',0);
INSERT INTO "launches" VALUES(2,2,1,'current',0);
INSERT INTO "launches" VALUES(3,2,2,'current',0);
INSERT INTO "launches" VALUES(4,3,1,'current',0);
INSERT INTO "launches" VALUES(5,3,2,'current',0);
INSERT INTO "launches" VALUES(6,3,3,'current',0);
INSERT INTO "launches" VALUES(7,3,4,'current',0);
INSERT INTO "launches" VALUES(8,3,5,'current',0);
CREATE TABLE logbook (
	"key" VARCHAR(40) NOT NULL, 
	value VARCHAR(200) NOT NULL, 
	PRIMARY KEY ("key")
);
INSERT INTO "logbook" VALUES('schema','2');
CREATE INDEX ix_charges_model ON charges (model);
CREATE INDEX ix_figures_flight_id ON figures (flight_id);
COMMIT;
