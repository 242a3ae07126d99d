namespace CaliperStation.Core.Wire;

/// <summary>CRC-16/IBM-SDLC: x^16 + x^12 + x^5 + 1, lowest bit first, start FFFF, result turned over; check value 906E.</summary>
/// <remarks>
/// Parameters and the check over "123456789": reveng.sourceforge.io/crc-catalogue/16.htm; the polynomial is that of ISO/IEC 13239 and
/// RFC 1662, appendix C. It finds every burst up to 16 bits, and a serial line loses bits in bursts.
/// </remarks>
internal static class Crc16
{
    private const ushort ReversedPolynomial = 0x8408;

    private static readonly ushort[] Table = MakeTable();

    public static ushort Of(ReadOnlySpan<byte> bytes)
    {
        int crc = 0xFFFF;
        foreach (byte value in bytes)
        {
            crc = (crc >> 8) ^ Table[(crc ^ value) & 0xFF];
        }

        return (ushort)(crc ^ 0xFFFF);
    }

    private static ushort[] MakeTable()
    {
        ushort[] table = new ushort[256];
        for (int value = 0; value < table.Length; value++)
        {
            int crc = value;
            for (int bit = 0; bit < 8; bit++)
            {
                crc = (crc & 1) != 0 ? (crc >> 1) ^ ReversedPolynomial : crc >> 1;
            }

            table[value] = (ushort)crc;
        }

        return table;
    }
}
