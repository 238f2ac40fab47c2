import type { BookingsTables } from './tables/bookings.ts';
import type { CardsTables } from './tables/cards.ts';
import type { DeliveryTables } from './tables/delivery.ts';
import type { FaultsTables } from './tables/faults.ts';
import type { HouseTables } from './tables/house.ts';
import type { PartsTables } from './tables/parts.ts';
import type { RoutineTables } from './tables/routine.ts';
import type { SealsTables } from './tables/seals.ts';
import type { TerminalTables } from './tables/terminal.ts';
import type { WaterTables } from './tables/water.ts';

/**
 * Every table, by subject. Columns are text, bigint (as number, below 2^53), double precision, or integer below 2^31;
 * flags are integers 0 and 1; JSON is text, parsed where it is read.
 */
export type Tables = HouseTables & DeliveryTables & RoutineTables & SealsTables & CardsTables & FaultsTables & BookingsTables & PartsTables & WaterTables & TerminalTables;
