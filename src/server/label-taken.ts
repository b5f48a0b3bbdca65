/** A printer had the whole label before it failed: nobody knows whether it printed it. To send it again may make two of one serial. */
export class LabelTaken extends Error {}
