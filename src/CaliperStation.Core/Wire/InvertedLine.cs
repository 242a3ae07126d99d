namespace CaliperStation.Core.Wire;

/// <summary>What a UART makes of a line whose polarity is turned over, and the way back.</summary>
/// <remarks>
/// With 8N1 the true start bit is read as idle level, so the receiver starts one bit late: every byte it gives is the complement of the sent one
/// shifted left by one. A published log shows it (Arduino forum, thread 543935). The top bit is lost, so only 7-bit text comes back.
/// </remarks>
public static class InvertedLine
{
    /// <summary>The byte that was sent.</summary>
    public static byte Recover(byte received) => (byte)((~received & 0xFF) >> 1);
}
