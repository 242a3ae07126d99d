using System.Globalization;
using System.Text;
using CaliperStation.Storage;

namespace CaliperStation.Tests.Storage;

/// <summary>
/// The faults of <c>docs/threats.md</c>, each tried many times on a copy of one store, as a table: how often it was told, how often it changed nothing
/// that anybody is answered, and how often it was wrong: an answer changed and nobody told. <c>CALIPER_STATION_ATTACKS</c> asks for more tries of each,
/// <c>CALIPER_STATION_ATTACK_TABLE</c> names a file for the table.
/// </summary>
public sealed class StoreAttackTests : IDisposable
{
    private readonly TemporaryFolder _place = new();
    private readonly TemporaryFolder _older = new();
    private readonly TemporaryFolder _outside = new();
    private readonly Random _random = new(20261127);
    private readonly List<JournalLine> _lines;
    private readonly string _head;

    public StoreAttackTests()
    {
        StoreFixture.FillVaried(_older.Paths);
        Copy(_older.Path, _place.Path);
        StorePaths paths = _place.Paths with { Head = Path.Combine(_outside.Path, "one.head") };
        using (Store store = StoreFixture.Work(paths))
        {
            StoreFixture.File(store, store.Key, 7);
        }

        _head = File.ReadAllText(paths.Head);
        _lines = StoreFixture.Lines(paths);
    }

    [Fact]
    public void No_fault_changes_an_answer_untold()
    {
        int tries = int.TryParse(Environment.GetEnvironmentVariable("CALIPER_STATION_ATTACKS"), CultureInfo.InvariantCulture, out int asked) ? asked : 4;
        (string Fault, bool MustBeTold, Action<StorePaths> Do)[] attacks =
        [
            ("a bit of the journal flipped", true, paths => Flip(Segment(paths))),
            ("a line of the journal lost", true, paths => Edit(paths, lines => lines.RemoveAt(_random.Next(lines.Count)))),
            ("a line of the journal twice", true, paths => Edit(paths, lines => lines.Insert(_random.Next(lines.Count), lines[_random.Next(lines.Count)]))),
            ("two lines of the journal swapped", true, paths => Edit(paths, lines => Swap(lines, _random.Next(lines.Count - 1)))),
            ("the journal's end cut at a line", true, paths => Cut(paths, _random.Next(1, 6))),
            ("a bit of the index flipped", false, paths => Flip(paths.Index)),
            ("a bit of the list of keys flipped", false, paths => Flip(paths.TrustedKeys)),
            ("an event edited, hashes made again", true, paths => StoreFixture.Forge(Segment(paths), _lines, EditOne(), File.ReadAllBytes(Segment(paths)))),
            ("the same, and the index deleted", true, paths =>
            {
                StoreFixture.Forge(Segment(paths), _lines, EditOne(), File.ReadAllBytes(Segment(paths)));
                DeleteIndex(paths);
            }),
            ("an event edited, all signatures stripped", true, paths =>
            {
                StoreFixture.Forge(Segment(paths), _lines, EditOne(), null);
                DeleteIndex(paths);
            }),
            ("a failed record called verified", true, paths =>
            {
                StoreFixture.Forge(Segment(paths), _lines, line => line with { Body = line.Body.Replace("\"verified\":false", "\"verified\":true", StringComparison.Ordinal) }, File.ReadAllBytes(Segment(paths)));
                DeleteIndex(paths);
            }),
            ("the end cut, all hashes right, the index deleted", true, paths =>
            {
                Cut(paths, _random.Next(1, _lines.Count));
                DeleteIndex(paths);
            }),
            ("the whole store put back to an older state", true, paths =>
            {
                Directory.Delete(paths.Store, recursive: true);
                Copy(_older.Path, paths.Store);
            }),
            ("the journal deleted", true, paths =>
            {
                File.Delete(Segment(paths));
                DeleteIndex(paths);
            }),
            ("the station's key replaced", true, paths =>
            {
                using TemporaryFolder other = new();
                StoreFixture.Fill(other.Paths, 1);
                File.Copy(other.Paths.PrivateKey, paths.PrivateKey, overwrite: true);
            }),
            ("a foreign store with its keys", true, paths =>
            {
                Directory.Delete(paths.Store, recursive: true);
                StoreFixture.Fill(paths with { Head = null }, 7);
            }),
            ("the head deleted", false, paths => File.Delete(paths.Head!)),
        ];
        StringBuilder table = new($"{"fault",-50} {"tries",6} {"told",6} {"harmless",9} {"wrong",6}\n");
        List<string> wrong = [];
        foreach ((string fault, bool mustBeTold, Action<StorePaths> attack) in attacks)
        {
            int told = 0, harmless = 0;
            for (int attempt = 0; attempt < tries; attempt++)
            {
                using TemporaryFolder copy = new();
                using TemporaryFolder state = new();
                StorePaths paths = copy.Paths with { Head = Path.Combine(state.Path, "one.head") };
                Copy(_place.Path, copy.Path);
                File.WriteAllText(paths.Head, _head);
                string right = StoreFixture.Answers(paths);
                attack(paths);
                bool isTold = IsTold(paths);
                bool isSame = !isTold && StoreFixture.Answers(paths) == right;
                (told, harmless) = (told + (isTold ? 1 : 0), harmless + (isSame ? 1 : 0));
                if (!isTold && (mustBeTold || !isSame))
                {
                    wrong.Add($"{fault}, try {attempt}");
                }
            }

            table.Append(CultureInfo.InvariantCulture, $"{fault,-50} {tries,6} {told,6} {harmless,9} {tries - told - harmless,6}\n");
        }

        if (Environment.GetEnvironmentVariable("CALIPER_STATION_ATTACK_TABLE") is { Length: > 0 } file)
        {
            File.WriteAllText(file, table.ToString());
        }

        Assert.Empty(wrong);
    }

    /// <summary>True when the start refuses it, or the check of the whole store finds something.</summary>
    private static bool IsTold(StorePaths paths)
    {
        try
        {
            using Store look = StoreFixture.Look(paths);
            if (!look.IsSound || look.Records.Verify().Findings.Count > 0)
            {
                return true;
            }
        }
        catch (StoreException)
        {
            return true;
        }

        try
        {
            using StringWriter error = new();
            OpenStore.ForWork(paths, StoreFixture.Clock, error).Dispose();
            return false;
        }
        catch (StoreException)
        {
            return true;
        }
    }

    private static string Segment(StorePaths paths) => Directory.GetFiles(paths.Journal, "*.jsonl").Single();

    private static void DeleteIndex(StorePaths paths)
    {
        foreach (string file in Directory.GetFiles(paths.Store, "index*"))
        {
            File.Delete(file);
        }
    }

    private void Flip(string file)
    {
        byte[] bytes = File.ReadAllBytes(file);
        int bit = _random.Next(bytes.Length * 8);
        bytes[bit / 8] ^= (byte)(1 << (bit % 8));
        File.WriteAllBytes(file, bytes);
    }

    private static void Edit(StorePaths paths, Action<List<string>> edit)
    {
        List<string> lines = [.. File.ReadAllLines(Segment(paths))];
        edit(lines);
        File.WriteAllText(Segment(paths), string.Concat(lines.Select(line => line + "\n")));
    }

    private static void Swap(List<string> lines, int at) => (lines[at], lines[at + 1]) = (lines[at + 1], lines[at]);

    private static void Cut(StorePaths paths, int count) => Edit(paths, lines => lines.RemoveRange(lines.Count - count, count));

    private Func<JournalLine, JournalLine> EditOne()
    {
        JournalLine chosen = _lines[_random.Next(_lines.Count)];
        return line => line == chosen ? line with { Body = line.Body[..^1] + " }" } : line;
    }

    private static void Copy(string from, string to)
    {
        foreach (string file in Directory.GetFiles(from, "*", SearchOption.AllDirectories))
        {
            string target = Path.Combine(to, Path.GetRelativePath(from, file));
            Directory.CreateDirectory(Path.GetDirectoryName(target)!);
            File.Copy(file, target, overwrite: true);
        }
    }

    public void Dispose()
    {
        _place.Dispose();
        _older.Dispose();
        _outside.Dispose();
    }
}
