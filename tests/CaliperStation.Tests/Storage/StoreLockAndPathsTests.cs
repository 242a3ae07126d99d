using System.Globalization;
using System.Runtime.InteropServices;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Tests.Storage;

public partial class StoreLockAndPathsTests
{
    [Fact]
    public void Only_one_bench_has_the_lock_and_the_other_is_told_what_to_do()
    {
        using TemporaryFolder place = new();
        using (StoreLock first = StoreLock.Acquire(place.Paths))
        {
            StoreException refused = Assert.Throws<StoreException>(() => StoreLock.Acquire(place.Paths));
            Assert.Contains("--store", refused.Message, StringComparison.Ordinal);
            Assert.True(refused.IsInUse);
            Assert.Contains($"process {Environment.ProcessId})", refused.Message, StringComparison.Ordinal);
        }

        using StoreLock second = StoreLock.Acquire(place.Paths);
        Assert.NotNull(second);
    }

    [Theory]
    [InlineData(4, false)]
    [InlineData(6, true)]
    public void A_clock_behind_the_last_event_is_said_when_work_begins(int minutesBehind, bool said)
    {
        using TemporaryFolder place = new();
        using (Store store = StoreFixture.Work(place.Paths))
        {
            store.Append(StoreFixture.At.AddMinutes(minutesBehind), "s", "k", "{}");
        }

        using StringWriter error = new();
        using Store open = OpenStore.ForWork(place.Paths, StoreFixture.Clock, error);
        Assert.Equal(said, error.ToString().Contains("check the clock", StringComparison.Ordinal));
    }

    [Fact]
    public void A_holder_that_is_gone_is_not_named()
    {
        using TemporaryFolder place = new();
        using StoreLock first = StoreLock.Acquire(place.Paths);
        File.WriteAllText(place.Paths.Lock + ".holder", int.MaxValue.ToString(System.Globalization.CultureInfo.InvariantCulture));   // no system gives a process such a number

        StoreException refused = Assert.Throws<StoreException>(() => StoreLock.Acquire(place.Paths));

        Assert.True(refused.IsInUse);
        Assert.DoesNotContain("(process", refused.Message, StringComparison.Ordinal);
    }

    [LinuxFact]
    public void A_folder_let_go_is_free_though_a_process_being_started_still_has_a_copy_of_its_handle()
    {
        using TemporaryFolder place = new();
        using IDisposable first = OwnFile.HoldFolder(place.Path, out _)!;
        int copy = Duplicate(Directory.GetFileSystemEntries("/proc/self/fd")
            .Where(handle => new FileInfo(handle).LinkTarget == place.Path)
            .Select(handle => int.Parse(Path.GetFileName(handle), CultureInfo.InvariantCulture))
            .Single());
        try
        {
            first.Dispose();

            using IDisposable? second = OwnFile.HoldFolder(place.Path, out bool others);
            Assert.NotNull(second);
            Assert.False(others);
        }
        finally
        {
            _ = Close(copy);
        }
    }

    [Fact]
    public void Without_the_lock_file_the_journal_still_has_one_writer()
    {
        using TemporaryFolder place = new();
        using Store first = StoreFixture.Work(place.Paths);
        first.Append(StoreFixture.At, "s", "k", "{}");
        File.Delete(place.Paths.Lock);

        Assert.True(Assert.Throws<StoreException>(() => StoreFixture.Work(place.Paths)).IsInUse);

        first.Append(StoreFixture.At, "s", "k", "{}");
        first.Dispose();
        using Store second = StoreFixture.Work(place.Paths);
        Assert.Equal([1L, 2L], second.Read().Select(line => line.Number));
    }

    [Theory]
    [InlineData("link")]
    [InlineData("pipe")]
    [InlineData("folder")]
    [InlineData("no folder at all")]
    public async Task What_is_no_file_in_the_place_of_a_segment_is_refused_at_once(string what)
    {
        using TemporaryFolder place = new();
        StoreFixture.Fill(place.Paths, 1);
        string segment = Directory.GetFiles(place.Paths.Journal).Single();
        string aside = System.IO.Path.Combine(place.Path, "aside");
        File.Move(segment, aside);
        switch (what)
        {
            case "link":
                File.CreateSymbolicLink(segment, aside);
                break;
            case "pipe":
                using (System.Diagnostics.Process made = System.Diagnostics.Process.Start("mkfifo", [segment]))
                {
                    await made.WaitForExitAsync();
                }

                break;
            case "folder":
                Directory.CreateDirectory(segment);
                break;
            default:
                Directory.Delete(place.Paths.Journal);
                File.Move(aside, place.Paths.Journal);
                break;
        }

        foreach (Action opened in (Action[])[() => StoreFixture.Look(place.Paths).Dispose(), () => StoreFixture.Work(place.Paths).Dispose()])
        {
            await Assert.ThrowsAsync<StoreException>(() => Task.Run(opened).WaitAsync(TimeSpan.FromSeconds(20)));
        }
    }

    [Fact]
    public void A_lock_that_cannot_be_opened_is_no_store_in_use()
    {
        using TemporaryFolder place = new();
        place.Paths.Create();
        File.CreateSymbolicLink(place.Paths.Lock, place.Paths.Lock);   // a link to itself

        StoreException refused = Assert.Throws<StoreException>(() => StoreLock.Acquire(place.Paths));

        Assert.Equal((StoreFault.NotLocked, false, true), (refused.Fault, refused.IsInUse, refused.IsWrongUsage));
    }

    [Fact]
    public void A_bench_whose_number_cannot_be_noted_has_the_lock_all_the_same_and_gives_it_back()
    {
        using TemporaryFolder place = new();
        place.Paths.Create();
        Directory.CreateDirectory(place.Paths.Lock + ".holder");   // in the way of the note
        StoreLock.Acquire(place.Paths).Dispose();

        using StoreLock second = StoreLock.Acquire(place.Paths);
        Assert.True(StoreLock.IsHeld(place.Paths));
    }

    [Theory]
    [InlineData((int)Platform.Unix, "/home/ab/.local/share/caliper-station", "/home/ab/.config/caliper-station/settings.toml", "/home/ab/.local/state/caliper-station")]
    [InlineData((int)Platform.Mac, "/home/ab/Library/Application Support/CaliperStation", "/home/ab/Library/Application Support/CaliperStation/settings.toml", "/home/ab/Library/Logs/CaliperStation")]
    [InlineData((int)Platform.Windows, "/home/ab/AppData/Local/CaliperStation/store", "/home/ab/AppData/Roaming/CaliperStation/settings.toml", "/home/ab/AppData/Local/CaliperStation/logs")]
    public void Without_any_wish_the_platforms_places_are_taken(int platform, string store, string settings, string logs)
    {
        StorePaths paths = StorePaths.Find(null, _ => null, (Platform)platform, "/home/ab");
        Assert.Equal((store, settings, logs), (paths.Store, paths.Settings, paths.Logs));
    }

    [Fact]
    public void The_option_goes_over_the_own_variable_and_that_over_the_platform()
    {
        Dictionary<string, string> set = new() { ["XDG_DATA_HOME"] = "/data", ["XDG_STATE_HOME"] = "relative", ["CALIPER_STATION_HOME"] = "/own" };
        Assert.Equal("/wish", StorePaths.Find("/wish", set.GetValueOrDefault, Platform.Unix, "/home/ab").Store);
        Assert.Equal("/own", StorePaths.Find(null, set.GetValueOrDefault, Platform.Unix, "/home/ab").Store);
        set.Remove("CALIPER_STATION_HOME");
        StorePaths xdg = StorePaths.Find(null, set.GetValueOrDefault, Platform.Unix, "/home/ab");
        Assert.Equal(("/data/caliper-station", "/home/ab/.local/state/caliper-station"), (xdg.Store, xdg.Logs));
    }

    [Fact]
    public void Without_home_or_variable_the_person_is_told_what_to_name()
    {
        StoreException refused = Assert.Throws<StoreException>(() => StorePaths.Find(null, _ => null, Platform.Unix, ""));

        Assert.Equal((StoreFault.NoFolder, true), (refused.Fault, refused.IsWrongUsage));
        Assert.Contains("--store", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void The_stores_folders_are_for_their_owner_only()
    {
        using TemporaryFolder place = new();
        StorePaths paths = StorePaths.Find(System.IO.Path.Combine(place.Path, "new", "store"), _ => null, Platform.Unix, "");
        using StoreLock held = StoreLock.Acquire(paths);
        if (!OperatingSystem.IsWindows())
        {
            UnixFileMode owner = UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute;
            Assert.Equal(owner, File.GetUnixFileMode(paths.Store));
            Assert.Equal(owner, File.GetUnixFileMode(paths.Journal));
        }
    }

    [Fact]
    public void The_first_use_makes_every_new_name_durable_up_to_the_folder_that_was_there()
    {
        using TemporaryFolder place = new();
        string folder = System.IO.Path.Combine(place.Path, "new");
        StorePaths paths = StorePaths.Find(System.IO.Path.Combine(folder, "store"), _ => null, Platform.Unix, "");
        List<string> flushed = [];
        paths.Create(flushed.Add);
        Assert.Equal([paths.Store, folder, place.Path], flushed);

        flushed.Clear();
        paths.Create(flushed.Add);   // a start that was cut off before anything was filed
        Assert.Equal([paths.Store, folder], flushed);
        paths.Create(where => _ = where == paths.Store ? where : throw new UnauthorizedAccessException());   // a parent that may be passed, but not looked into
        Assert.Throws<StoreException>(() => paths.Create(_ => throw new UnauthorizedAccessException()));

        flushed.Clear();
        StoreFixture.Fill(paths, 1);
        paths.Create(flushed.Add);
        Assert.Empty(flushed);
        Assert.Throws<StoreException>(() => StorePaths.Find(System.IO.Path.Combine(place.Path, "other"), _ => null, Platform.Unix, "").Create(_ => throw new IOException("no")));
    }

    [Fact]
    public void What_this_account_may_not_do_is_wrong_usage_and_what_the_disk_says_is_not()
    {
        Assert.True(new StoreException(StoreFault.Disk, "no right", new UnauthorizedAccessException()).IsWrongUsage);
        Assert.False(new StoreException(StoreFault.Disk, "broken", new IOException()).IsWrongUsage);
    }

    [Fact]
    public void A_folder_that_cannot_be_made_is_told()
    {
        using TemporaryFolder place = new();
        string file = System.IO.Path.Combine(place.Path, "a-file");
        File.WriteAllText(file, "");
        StorePaths paths = StorePaths.Find(System.IO.Path.Combine(file, "store"), _ => null, Platform.Unix, "");
        Assert.Equal(StoreFault.NotMade, Assert.Throws<StoreException>(() => StoreLock.Acquire(paths)).Fault);
    }

    [LibraryImport("libc", EntryPoint = "dup")]
    private static partial int Duplicate(int handle);

    [LibraryImport("libc", EntryPoint = "close")]
    private static partial int Close(int handle);

    /// <summary>A test that looks at a process's open handles in /proc; where there is none it is skipped, and says so.</summary>
    [AttributeUsage(AttributeTargets.Method)]
    private sealed class LinuxFactAttribute : FactAttribute
    {
        public LinuxFactAttribute() => Skip = OperatingSystem.IsLinux() ? null : "the open handles of a process are looked at in /proc";
    }
}
