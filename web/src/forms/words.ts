/** Names of the keys and choices of the site file as a person says them. The keys themselves stand in the text view. */

const LABELS: Readonly<Record<string, string>> = {
  blades: "Blades of a wheel",
  code_letter: "Code letter of the motors",
  conductor: "Gauge of the conductor",
  count: "Equal tanks",
  delivery: "From order to delivery",
  distance: "Distance from every fan",
  dwellings: "Dwellings",
  east: "East of a point of your choice",
  feed: "How the gas comes",
  filled_to: "Filled to",
  gas_pressure: "Pressure at the orifice, at full fire",
  generator: "Stand-by generator",
  ground: "Ground",
  height: "Window above the fans",
  humidity_band: "Dead band of a humidistat",
  ignition: "From call until it burns",
  inside: "Inside diameter, in place of the size",
  limit_day: "Limit by day",
  limit_night: "Limit by night",
  line: "Line",
  lowest_fill: "Refilled at",
  meter: "Most that the meter passes",
  north: "North of it",
  orifice: "Diameter of the orifice",
  phases: "Phases",
  pipe: "Nominal size of the pipe, in.",
  regulator: "Outlet pressure of its regulator",
  service: "Rated current of the service",
  sharing: "Several burners fire",
  sound_power: "Sound power by the maker",
  steel: "Steel between flame and thermostat",
  volts: "Volts between lines",
  wall: "A wall close behind the fans",
  averaging: "Readings averaged over",
  arrangement: "Fans stand",
  by: "Dry by",
  by_year: "Single years",
  capacity: "Heat to the air",
  carry_over: "When winter comes first",
  chance: "Wanted chance",
  colder_by: "Air colder than the grain by",
  cool_to: "Cool the grain to",
  cored: "Core of fines drawn",
  damage: "Damaged kernels",
  days: "Days of filling",
  dead_band: "Dead band",
  depth: "Depth, in place of quantity",
  diameter: "Inner diameter",
  draw: "Way of the air",
  dry_enough: "Next lot at",
  eave: "Eave height",
  electricity: "Price of electricity",
  every: "Time between",
  field: "Dry-down in the field",
  fill: "How it is filled",
  fines: "Fines",
  floor: "Floor",
  floor_opening: "Open part of the floor",
  from: "First day of filling",
  fuel: "Fuel",
  hold_until: "Hold until",
  humidity_offset: "Humidity added to the record",
  indirect_efficiency: "Efficiency, where flue gas stays out",
  leakage: "Air that escapes",
  life_used: "Storage life used on arrival",
  loads_per_day: "Loads a day",
  mean_moisture: "Mean moisture wanted",
  minimum_fire: "Lowest fire",
  minimum_rest: "Shortest rest",
  minimum_run: "Shortest run",
  moisture: "Moisture as filled",
  moisture_sd: "Spread of moisture between loads",
  packing: "Packing factor",
  pressure: "Barometric pressure, in place of elevation",
  relation: "Equilibrium moisture by",
  side: "Place of the burner",
  storage_life: "Storage life that may be used",
  temperature: "Temperature as filled",
  temperature_limit: "Limit of the heated air",
  test_weight: "Test weight",
  test_weight_moisture: "Moisture at the test weight",
  time_zone: "Time zone",
  transition_area: "Area of transition and duct",
  transition_k: "Loss coefficient of transition and duct",
  uniform: "Even air all over",
  utc_offset: "Standard time from UTC",
  vents: "Roof vents, free area",
  weather: "Weather record",
  wet_override: "Run regardless above",
  wettest_excess: "Wettest tenth above the mean, at most",
};

/** Where a key means another thing than elsewhere: the table it stands in decides. */
const IN_TABLE: Readonly<Record<string, string>> = {
  "fuel.kind": "Gas",
  "fuel.main": "Main",
  "fuel.tank": "Tanks",
  "line.length": "Length, with its fittings",
  "main.pressure": "Pressure at the meter",
  "power.other": "Other load at the same time",
  "tank.capacity": "Water capacity of one",
  "tank.diameter": "Outside diameter",
  "tank.length": "Length of one",
  "vaporizer.capacity": "Heat it can give",
  "vaporizer.pressure": "Pressure it delivers",
  "yard.bins": "Places of the bins",
  "burner.humidity": "Humidity of the plenum",
  "burner.kind": "Rule of the burner",
  "burner.temperature": "Temperature of the plenum",
  "control.from": "From, by the clock",
  "control.high": "High end of the window",
  "control.kind": "Fans run",
  "control.low": "Low end of the window",
  "control.sensor": "Air measured",
  "control.to": "To, by the clock",
  "cooling.high": "Warmest air used",
  "cooling.kind": "Fans run",
  "cooling.low": "Coldest air used",
  "cooling.sensor": "Air measured",
  "counterflow.moisture": "Draw at or below",
  "counterflow.temperature": "Draw at or above",
  "counterflow.to": "Drawn into",
  "field.moisture": "Moisture on that day",
  "field.on": "Day in the field",
  "prices.fuel": "Price of fuel",
  "sensors.humidity": "Error of humidity",
  "sensors.temperature": "Error of temperature",
  "stop.depths": "Depths read",
  "stop.every": "Time between probings",
  "stop.kind": "Drying is stopped",
  "stop.over": "Compared over",
  "stirring.when": "Stirred",
};

const WORDS: Readonly<Record<string, string>> = {
  "after-burner": "after the burner",
  "after-fan": "after the fan",
  always: "always",
  ambient: "outside",
  clock: "by the clock",
  continuous: "all the time",
  "cool-and-hold-then-spring": "cool and hold it, finish in spring",
  discharge: "between fan and plenum",
  down: "down",
  "equilibrium-window": "by the equilibrium moisture of the air",
  exhaust: "of the leaving air",
  "filling-then-front": "while filling, then at the drying front",
  full: "perforated all over",
  "high-low": "high and low",
  humidistat: "to a humidity of the plenum",
  "humidity-window": "by the humidity of the air",
  inlet: "at the inlet of the fan",
  leveled: "leveled",
  modulating: "modulating",
  "natural-gas": "natural gas",
  never: "go on drying",
  off: "never",
  "on-off": "on and off",
  parallel: "side by side (parallel)",
  rise: "by a fixed rise",
  series: "one behind the other (series)",
  spout: "from the spout, peaked",
  "temperature-window": "by the temperature of the air",
  thermostat: "to a temperature of the plenum",
  up: "up",
};

const WORD_OF: Readonly<Record<string, string>> = {
  "fuel.feed=liquid": "liquid, to a vaporizer",
  "fuel.feed=main": "from a main",
  "fuel.feed=vapor": "vapor, boiled off by tanks",
  "firing.sharing=in-sequence": "one after the other, as needed",
  "firing.sharing=in-step": "all together",
  "firing.sharing=on-their-own": "each by its own thermostat",
  "yard.ground=hard": "hard",
  "yard.ground=soft": "soft",
  "burner.kind=off": "off",
  "stop.kind=exhaust": "by the air that leaves",
  "stop.kind=ideal": "ideally, as nobody can see it",
  "stop.kind=probe": "by probing the grain",
};

/** Kinds of fan as the trade calls them. */
const KINDS: Readonly<Record<string, string>> = {
  "centrifugal-high-speed": "centrifugal, high speed",
  "centrifugal-low-speed": "centrifugal, low speed",
  "double-inlet-centrifugal": "centrifugal, double inlet",
  "inline-centrifugal": "in-line centrifugal",
  other: "other fan",
  "tube-axial": "tube axial",
};

export const FAN_KINDS: readonly string[] = Object.keys(KINDS);

export function fanKind(kind: string): string {
  return KINDS[kind] ?? kind.replaceAll("-", " ");
}

/** A choice as a person says it; `at` is the table and key it belongs to. */
export function word(choice: string, at = ""): string {
  return WORD_OF[`${at}=${choice}`] ?? WORDS[choice] ?? choice.replaceAll("-", " ");
}

/** The last table and key of a path without counts: `bins.north.outfit.control.kind` is `control.kind`. */
export function place(path: string): string {
  return path
    .replace(/\[\d+\]/g, "")
    .split(".")
    .slice(-2)
    .join(".");
}

/** A key as a label; one that no form knows is read as words, unless another answer is wanted. */
export function label(key: string): string;
export function label(key: string, unknown: null): string | null;
export function label(key: string, unknown?: null): string | null {
  const known = LABELS[key];
  if (known !== undefined) return known;
  if (unknown === null) return null;
  const words = key.replaceAll("_", " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** The label of the field at a path. */
export function labelAt(path: string, key: string): string {
  return IN_TABLE[place(path)] ?? label(key);
}
