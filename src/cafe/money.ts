import { z } from 'zod';

const amount = z.number().nonnegative();

const schema = z.object({
  /** What a technician's visit costs before anything is done. */
  callOut: amount.optional(),
  /** What a visit costs besides when it is asked for while the café is closed. */
  outOfHoursExtra: amount.optional(),
  /** What a visit called off in time costs. */
  cancelFee: amount.optional(),
  /** What an hour of a person at the bar costs. */
  staffHour: amount.optional(),
  /** What is left of the price of a drink when its ingredients are paid. */
  margin: amount.optional(),
  drinksDay: amount.optional(),
  /** In the busiest hour. */
  drinksHour: amount.optional(),
});

/** Figures of the café's trade in its own currency; what is missing is not known. */
export type Money = z.infer<typeof schema>;
export type MoneyKey = keyof Money;

/** Text of the column `money` of a café. */
export const readMoney = (text: string): Money => schema.parse(JSON.parse(text));
export const writeMoney = (money: Money): string => JSON.stringify(money);
