using System.Globalization;
using System.Text;

namespace CaliperStation.Core.Records;

/// <summary>What a printed card says of a record, as a code that a scanner reads: a witness of the record outside the store.</summary>
/// <remarks>
/// As text: <c>CARD1:</c> and the Base45 (RFC 9285) of these bytes: the chain's 8; the number, seven bits a byte, the lowest first, the highest bit set in all but
/// the last (LEB128); the length of the id in UTF-8 and the id; SHA-256 of the record, 32; the signature, 64. All of it is in the alphanumeric set of a QR code (ISO/IEC 18004:2015, 7.3.4).
/// </remarks>
/// <param name="Chain">The id of the key that signed the chain's first record, 16 hexadecimal digits.</param>
/// <param name="Number">Its place in the chain, from 1.</param>
/// <param name="Id">The record's id.</param>
/// <param name="Hash">SHA-256 of its bytes, lower-case hexadecimal.</param>
/// <param name="Signature">r and s, base64.</param>
public sealed record RecordCard(string Chain, long Number, string Id, string Hash, string Signature)
{
    private const string Mark = "CARD1:";
    private const int MaxLength = 1000;   // the longest id makes some 350
    private const int ChainLength = 8;
    private const int HashLength = 32;
    private const int SignatureLength = 64;

    /// <summary>The card of a record; null when its seal is none that can be printed: another length of chain, hash or signature than the station makes.</summary>
    /// <exception cref="ArgumentException">Its bytes are no record.</exception>
    public static RecordCard? Of(SealedRecord seal)
    {
        Record record = seal.Record ?? throw new ArgumentException("The bytes are no record.", nameof(seal));
        RecordCard card = new(record.Chain, record.Number, record.Id, seal.Hash, seal.Signature);
        return IsHexadecimal(card.Chain, ChainLength) && IsHexadecimal(card.Hash, HashLength) && card.Id.Length is > 0 and <= 255 && card.Id.All(char.IsAscii)
            && Convert.TryFromBase64String(card.Signature, new byte[SignatureLength], out int signed) && signed == SignatureLength ? card : null;
    }

    /// <summary>The text of the code.</summary>
    public string Text
    {
        get
        {
            List<byte> bytes = [.. Convert.FromHexString(Chain)];
            long rest = Number;
            for (; rest > 127; rest >>= 7)
            {
                bytes.Add((byte)(rest & 0x7F | 0x80));
            }

            bytes.Add((byte)rest);
            byte[] id = Encoding.UTF8.GetBytes(Id);
            bytes.AddRange([(byte)id.Length, .. id, .. Convert.FromHexString(Hash), .. Convert.FromBase64String(Signature)]);
            return Mark + Base45.Encode([.. bytes]);
        }
    }

    /// <summary>The card that a text says; null when it says none. Blanks and line ends around it do not matter.</summary>
    public static RecordCard? Read(string text)
    {
        string code = text.Trim();
        if (code.Length > MaxLength || !code.StartsWith(Mark, StringComparison.Ordinal) || Base45.Decode(code[Mark.Length..]) is not { Length: > ChainLength } bytes)
        {
            return null;
        }

        int at = ChainLength;
        long number = 0;
        for (int shift = 0; ; shift += 7)
        {
            if (at >= bytes.Length || shift > 56)
            {
                return null;
            }

            number |= (long)(bytes[at] & 0x7F) << shift;
            if (bytes[at++] < 0x80)
            {
                break;
            }
        }

        if (at >= bytes.Length || bytes.Length != at + 1 + bytes[at] + HashLength + SignatureLength || bytes.AsSpan(at + 1, bytes[at]).ContainsAnyExceptInRange((byte)' ', (byte)'~'))
        {
            return null;
        }

        int id = bytes[at], body = at + 1 + id;
        RecordCard card = new(
            Convert.ToHexStringLower(bytes, 0, ChainLength), number, Encoding.ASCII.GetString(bytes, at + 1, id),
            Convert.ToHexStringLower(bytes, body, HashLength), Convert.ToBase64String(bytes, body + HashLength, SignatureLength));
        return card.Number > 0 && id > 0 && card.Text == code ? card : null;   // a text has one form
    }

    /// <summary>True when one of these keys signed it.</summary>
    /// <param name="keys">Public keys, base64.</param>
    public bool IsSignedBy(IEnumerable<string> keys) => keys.Any(key => RecordSignature.VerifyHash(key, Hash, Signature));

    private static bool IsHexadecimal(string text, int bytes) => text.Length == 2 * bytes && text.All(char.IsAsciiHexDigitLower);
}

/// <summary>What a store says of a card.</summary>
public enum CardFinding
{
    /// <summary>It holds exactly that record, whole and signed.</summary>
    Same,

    /// <summary>It holds another record in that place, or that record with other bytes.</summary>
    Other,

    /// <summary>It knows nothing of that record: the card is another bench's, or nobody's.</summary>
    Unknown,

    /// <summary>The card is signed by a key that counts here, and the store ends before it: it was put back to an earlier state, or its end is gone.</summary>
    Older,
}

/// <summary>Compares a card with a store.</summary>
/// <param name="Finding">What comes of it.</param>
/// <param name="IsSigned">True when a key that counts here signed the card.</param>
/// <param name="Words">In words safe to print.</param>
public sealed record CardCheck(CardFinding Finding, bool IsSigned, string Words)
{
    /// <summary>The comparison.</summary>
    /// <param name="card">The card.</param>
    /// <param name="records">The store's records, in any order; each is looked at once.</param>
    /// <param name="knownKeys">Public keys whose signature counts, base64.</param>
    public static CardCheck Of(RecordCard card, IEnumerable<FiledRecord> records, IReadOnlySet<string> knownKeys)
    {
        bool signed = card.IsSignedBy(knownKeys);
        string id = Quantities.PrintableText.Escape(card.Id);
        string place = string.Create(CultureInfo.InvariantCulture, $"record {id}, number {card.Number} of the chain {card.Chain}");
        FiledRecord? same = null, other = null, meant = null;
        long last = 0;
        foreach (FiledRecord filed in records)
        {
            if (filed.Sealed is not { Record: { } record } seal)
            {
                continue;
            }

            last = record.Chain == card.Chain ? Math.Max(last, record.Number) : last;
            if (RecordCard.Of(seal) == card)
            {
                same = filed;
            }
            else if (seal.Hash == card.Hash)
            {
                meant = filed;   // the hash covers id and number: what the card says of them is misread or was altered
            }
            else if (record.Id == card.Id || (record.Chain == card.Chain && record.Number == card.Number))
            {
                other = filed;
            }
        }

        CardCheck Found(CardFinding finding, string words) => new(finding, signed, words);
        if (same is null && meant is { Sealed.Record: { } held })
        {
            return new CardCheck(CardFinding.Other, false, string.Create(CultureInfo.InvariantCulture, $"{place}: what the card says does not fit together. Its hash is that of record {Quantities.PrintableText.Escape(held.Id)}, number {held.Number}, which the store holds: the code was misread or altered"));
        }

        return (same, other) switch
        {
            ({ }, null) when RecordChain.VerifyOne(same, knownKeys).FirstOrDefault() is { } fault => Found(CardFinding.Other, $"{place}: the store's is the card's by its seal, but {fault.Words}"),
            ({ }, null) => Found(CardFinding.Same, $"{place}: the store holds exactly this record"),
            (_, { }) when signed => Found(CardFinding.Other, $"{place}: the store holds another one in its place ({Quantities.PrintableText.Escape(other.Sealed!.Record!.Id)}), and the card is signed with a key that counts here: the store was altered"),
            (_, { }) => Found(CardFinding.Other, $"{place}: the store holds another one in its place, and no key that counts here signed the card: the card was altered, or is another bench's"),
            _ when signed && card.Number > last => Found(CardFinding.Older, string.Create(CultureInfo.InvariantCulture, $"{place}: the store ends at number {last} of that chain, and the card is signed with a key that counts here: the store is older than the card")),
            _ when signed => Found(CardFinding.Other, $"{place}: the card is signed with a key that counts here, and the store does not hold that record any more"),
            _ => Found(CardFinding.Unknown, $"{place}: the store does not know it, and no key that counts here signed the card"),
        };
    }
}

/// <summary>Bytes as text of 45 signs (RFC 9285).</summary>
internal static class Base45
{
    private const string Signs = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

    internal static string Encode(ReadOnlySpan<byte> bytes)
    {
        StringBuilder text = new();
        for (int at = 0; at < bytes.Length; at += 2)
        {
            bool pair = at + 1 < bytes.Length;
            int value = pair ? (bytes[at] * 256) + bytes[at + 1] : bytes[at];
            text.Append(Signs[value % 45]).Append(Signs[value / 45 % 45]);
            if (pair)
            {
                text.Append(Signs[value / 2025]);
            }
        }

        return text.ToString();
    }

    /// <summary>The bytes; null when the text is none.</summary>
    internal static byte[]? Decode(string text)
    {
        if (text.Length % 3 == 1)
        {
            return null;
        }

        List<byte> bytes = [];
        for (int at = 0; at < text.Length; at += 3)
        {
            int count = Math.Min(3, text.Length - at), value = 0;
            for (int sign = count - 1; sign >= 0; sign--)
            {
                int digit = Signs.IndexOf(text[at + sign], StringComparison.Ordinal);
                if (digit < 0)
                {
                    return null;
                }

                value = (value * 45) + digit;
            }

            if (value > (count == 3 ? 0xFFFF : 0xFF))
            {
                return null;
            }

            if (count == 3)
            {
                bytes.Add((byte)(value >> 8));
            }

            bytes.Add((byte)(value & 0xFF));
        }

        return [.. bytes];
    }
}
