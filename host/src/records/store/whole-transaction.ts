import type { Kysely, Transaction } from "kysely";
import type { StoreTables } from "./store-tables.js";

/**
 * Runs `work` as one transaction: all of it, or nothing. When a disk is full the database may have taken the transaction back by
 * itself, and a second taking back fails; what the caller hears is why it failed first.
 */
export async function wholeTransaction<T>(
  db: Kysely<StoreTables>,
  work: (transaction: Transaction<StoreTables>) => Promise<T>,
): Promise<T> {
  const transaction = await db.startTransaction().execute();
  try {
    const value = await work(transaction);
    await transaction.commit().execute();
    return value;
  } catch (error) {
    await transaction
      .rollback()
      .execute()
      .catch(() => undefined);
    throw error;
  }
}
