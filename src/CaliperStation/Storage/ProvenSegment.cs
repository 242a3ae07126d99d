using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace CaliperStation.Storage;

/// <summary>A closed segment as it was when every line of it was proven.</summary>
/// <param name="Name">The file.</param>
/// <param name="Length">Its bytes.</param>
/// <param name="Changed">When the file system says it was last written, ticks of UTC.</param>
/// <param name="AfterNumber">The last event before it.</param>
/// <param name="AfterHash">That event's hash.</param>
/// <param name="LastNumber">Its own last event.</param>
/// <param name="LastHash">That event's hash.</param>
/// <param name="Lines">Its lines.</param>
internal sealed record ProvenSegment(string Name, long Length, long Changed, long AfterNumber, string AfterHash, long LastNumber, string LastHash, int Lines)
{
    /// <summary>True when the file looks as it did, follows the same event, and still ends in the same hash.</summary>
    public bool Agrees(IJournalFile file, long afterNumber, string afterHash)
    {
        if (file.Length != Length || file.Changed != Changed || afterNumber != AfterNumber || afterHash != AfterHash || Length <= JournalFormat.TailLength)
        {
            return false;
        }

        byte[] end = new byte[JournalFormat.TailLength + 1];
        return file.Read(end, Length - end.Length) == end.Length && end.AsSpan().SequenceEqual(Encoding.ASCII.GetBytes($",\"h\":\"{LastHash}\"}}\n"));
    }
}

/// <summary>Keeps what was proven in a file beside the index: one segment a line, and at the end a SHA-256 over all of it.</summary>
/// <remarks>A convenience like the index: deleted, unreadable or of another form it is as if nothing had been proven yet. Without an index it does not count.</remarks>
internal static class ProvenSegments
{
    private const string Heading = "caliper-station proven segments 1\n";
    private const int Fields = 8;

    /// <summary>What was proven before; none when that cannot be told.</summary>
    public static IReadOnlyList<ProvenSegment> Read(StorePaths paths)
    {
        try
        {
            string text = File.Exists(paths.Index) && File.Exists(Place(paths)) ? File.ReadAllText(Place(paths)) : "";
            int end = text.Length - JournalFormat.HashLength;
            return end > 0 && text.StartsWith(Heading, StringComparison.Ordinal) && Hash(text[..end]) == text[end..]
                ? [.. text[Heading.Length..end].Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(Segment)]
                : [];
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or FormatException or OverflowException)
        {
            return [];
        }
    }

    /// <summary>Notes what is proven now. When it cannot be noted, the next start proves all again.</summary>
    public static void Write(StorePaths paths, IReadOnlyList<ProvenSegment> proven)
    {
        string text = Heading + string.Concat(proven.Select(at => string.Create(CultureInfo.InvariantCulture,
            $"{at.Name} {at.Length} {at.Changed} {at.AfterNumber} {at.AfterHash} {at.LastNumber} {at.LastHash} {at.Lines}\n")));
        try
        {
            File.WriteAllText(Place(paths) + ".new", text + Hash(text));
            File.Move(Place(paths) + ".new", Place(paths), overwrite: true);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // nothing is lost but time at the next start
        }
    }

    /// <summary>Trusts nothing any more: damage was found, and every start shall tell it until it is mended.</summary>
    public static void Forget(StorePaths paths)
    {
        if (Directory.Exists(paths.Store) && File.Exists(Place(paths)))
        {
            Write(paths, []);
        }
    }

    private static string Place(StorePaths paths) => paths.Index + ".proven";

    private static string Hash(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    private static ProvenSegment Segment(string line)
    {
        string[] fields = line.Split(' ');
        return fields.Length == Fields
            ? new(fields[0], Whole(fields[1]), Whole(fields[2]), Whole(fields[3]), fields[4], Whole(fields[5]), fields[6], (int)Whole(fields[7]))
            : throw new FormatException();
    }

    private static long Whole(string text) => long.Parse(text, NumberStyles.None, CultureInfo.InvariantCulture);
}
