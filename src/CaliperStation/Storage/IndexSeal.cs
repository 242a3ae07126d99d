using System.Buffers.Binary;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using System.Text.RegularExpressions;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>The right to use the index, and in the same file how far the index goes and the hash it was closed with.</summary>
/// <remarks>One line of fixed length: schema, number and hash of the last event, SHA-256 of the closed index (dashes while it is open), and a check of the line.</remarks>
internal sealed partial class IndexSeal : IDisposable
{
    /// <summary>Between two tries, in milliseconds.</summary>
    private const int Pause = 20;

    private static readonly string _open = new('-', JournalFormat.HashLength);
    private readonly FileStream _file;

    private IndexSeal(string indexPath, FileStream file) => (IndexPath, _file) = (indexPath, file);

    /// <summary>The index it is of.</summary>
    public string IndexPath { get; }

    /// <summary>The number of the last event the index has seen; 0 for none, or where that is not known.</summary>
    public long Number { get; private set; }

    /// <summary>That event's hash.</summary>
    public string Hash { get; private set; } = JournalFormat.FirstHash;

    /// <summary>The hash of the index as it was closed; null when it was not closed, or that is not known.</summary>
    public string? IndexHash { get; private set; }

    /// <summary>Takes the right to use an index; null when another process has it all the time, or the folder cannot be written.</summary>
    /// <param name="indexPath">The index.</param>
    /// <param name="tries">How often it is tried, each <see cref="Pause"/> after the one before: who only looks has it for some tens of milliseconds.</param>
    public static IndexSeal? Acquire(string indexPath, int tries)
    {
        for (int left = tries; ; left--)
        {
            IndexSeal? seal = Acquire(indexPath, out bool held);
            if (seal is not null || !held || left <= 1)
            {
                return seal;
            }

            Thread.Sleep(Pause);
        }
    }

    /// <summary>Takes the right to use an index now.</summary>
    public static IndexSeal? Acquire(string indexPath) => Acquire(indexPath, out _);

    private static IndexSeal? Acquire(string indexPath, out bool held)
    {
        held = false;
        FileStream? file = null;
        try
        {
            file = OwnFile.Open(indexPath + ".lock", FileMode.OpenOrCreate, FileAccess.ReadWrite, buffer: 0);
            IndexSeal seal = new(indexPath, file);
            seal.Read();
            return seal;
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            held = e is IOException io && OwnFile.IsHeld(io);
            file?.Dispose();
            return null;
        }
    }

    /// <summary>SHA-256 of a closed index, lower-case hexadecimal.</summary>
    public static string HashOf(string indexPath)
    {
        using FileStream file = OwnFile.Open(indexPath, FileMode.Open, FileAccess.Read);
        return Convert.ToHexStringLower(SHA256.HashData(file));
    }

    /// <summary>Notes how far the index goes; it is open as long as no hash of it is given.</summary>
    /// <exception cref="IOException">It cannot be written.</exception>
    public void Write(long number, string hash, string? indexHash)
    {
        string text = string.Create(CultureInfo.InvariantCulture, $"{IndexDocuments.Schema:D4} {number:D19} {hash} {indexHash ?? _open} ");
        RandomAccess.Write(_file.SafeFileHandle, Encoding.ASCII.GetBytes(text + CheckOf(text) + "\n"), 0);
        (Number, Hash, IndexHash) = (number, hash, indexHash);
    }

    /// <inheritdoc />
    public void Dispose() => _file.Dispose();

    private void Read()
    {
        byte[] bytes = new byte[400];
        string text = Encoding.Latin1.GetString(bytes, 0, RandomAccess.Read(_file.SafeFileHandle, bytes, 0));
        if (Line().Match(text) is not { Success: true } line || CheckOf(line.Groups["all"].Value) != line.Groups["check"].Value)
        {
            return;
        }

        (Number, Hash) = (long.Parse(line.Groups["number"].Value, CultureInfo.InvariantCulture), line.Groups["hash"].Value);
        bool isOurs = line.Groups["schema"].Value == IndexDocuments.Schema.ToString("D4", CultureInfo.InvariantCulture);
        IndexHash = isOurs && line.Groups["index"].Value != _open ? line.Groups["index"].Value : null;
    }

    private static string CheckOf(string text) => BinaryPrimitives.ReadUInt64BigEndian(SHA256.HashData(Encoding.Latin1.GetBytes(text))).ToString("x16", CultureInfo.InvariantCulture);

    [GeneratedRegex(@"\A(?<all>(?<schema>[0-9]{4}) (?<number>[0-9]{19}) (?<hash>[0-9a-f]{64}) (?<index>[0-9a-f]{64}|-{64}) )(?<check>[0-9a-f]{16})\n\z")]
    private static partial Regex Line();
}
